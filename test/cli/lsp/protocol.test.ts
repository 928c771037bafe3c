import { mkdirSync } from "node:fs"
import { join } from "node:path"
import { fileURLToPath } from "node:url"
import { afterAll, beforeAll, expect, test } from "vitest"
import type {
  CodeAction,
  CodeLens,
  CompletionItem,
  DocumentSymbol,
  FoldingRange,
  Hover,
  InitializeResult,
  InlayHint,
  Location,
  SemanticTokens,
  SymbolInformation,
  TextDocumentEdit,
  TextEdit,
  WorkspaceEdit,
} from "vscode-languageserver"
import { VERSION } from "../../../compiler/version.ts"
import { KIOSK_DARK } from "../../support/kiosk.ts"
import { openFolder } from "../run.ts"
import { Client } from "./client.ts"

const shop = `use "shared/meter.ruleout"
ruleset lamp "Lamp: dead" version "1.0.0" money EUR bench 60 per hour
# The board and its seat.
# Both are cheap to try.
part board "driver board" price 100 spare
setup seat "board seating" of board
complaint dead "the lamp stays dark"
fault board_dead "board failed" in board odds 1
  shows rail below 4 V
fault seat_loose "board not home" in seat odds 3
test try_board "Fit the known-good board" swaps board takes 10 min
`
const shared = `reading rail "Rail at the board" in V from 0 to 12 by 0.1
test meter "Meter the rail" reads rail takes 2 min
`
const record = `{"id":"L-1","complaint":"dead","steps":[{"test":"try_board","found":"gone"},{"putBack":"board","found":"stays"},{"replace":"board","found":"gone"},{"close":true,"found":"holds"}],"faults":["board_dead"]}
`

const { folder, at } = openFolder()
const client = new Client(folder)
let initialized: InitializeResult

beforeAll(async () => {
  mkdirSync(at("shared"))
  client.write("shop.ruleout", shop)
  client.write("shared/meter.ruleout", shared)
  client.write("seat.cases.jsonl", record)
  initialized = await client.initialize()
  await client.open("shop.ruleout")
  await client.open("shared/meter.ruleout")
  await client.until(() => client.codes("shop.ruleout") !== undefined)
})

afterAll(async () => {
  expect(await client.exit()).toBe(0)
})

const document = (name: string) => ({ textDocument: { uri: client.uri(name) } })

/** The text of a document after the edits, which don't overlap. */
function edited(name: string, edits: readonly TextEdit[]): string {
  let text = client.text(name)
  const lines = text.split("\n")
  const offset = ({ line, character }: { line: number; character: number }) =>
    lines.slice(0, line).reduce((sum, each) => sum + each.length + 1, 0) + character
  const sorted = [...edits].sort((a, b) => offset(b.range.start) - offset(a.range.start))
  for (const { range, newText } of sorted)
    text = text.slice(0, offset(range.start)) + newText + text.slice(offset(range.end))
  return text
}

const actions = (name: string, text: string, only?: string) =>
  client.ask<CodeAction[]>("textDocument/codeAction", {
    ...document(name),
    range: client.range(name, text),
    context: { diagnostics: [], ...(only ? { only: [only] } : {}) },
  })

test("the server says who it is, and that it takes texts change by change", () => {
  expect(initialized.serverInfo).toEqual({ name: "ruleout", version: VERSION })
  expect(initialized.capabilities.textDocumentSync).toMatchObject({ change: 2 })
})

test("problems come with their code and its page, and go when the text is fixed", async () => {
  await client.type("shop.ruleout", "of board\n", "of bord\n")
  await client.until(() => client.codes("shop.ruleout")?.includes("unknown-name") === true)
  const [found] = client.diagnostics
    .get(client.uri("shop.ruleout"))!
    .filter(({ code }) => code === "unknown-name")
  expect(client.slice(client.uri("shop.ruleout"), found!.range)).toBe("bord")
  expect(found).toMatchObject({ severity: 1, source: "ruleout" })
  const page = new URL(found!.codeDescription!.href)
  expect(client.read(join("..", "..", fileURLToPath(page)))).toContain(`### ${page.hash.slice(1)}\n`)
  expect(found!.relatedInformation?.map(({ message }) => message)).toEqual(["`board` is declared here"])

  const fixes = await actions("shop.ruleout", "bord")
  const [meant] = fixes.filter(({ title }) => title === "Write `board`")
  expect(edited("shop.ruleout", meant!.edit!.changes![client.uri("shop.ruleout")]!)).toBe(shop)
  const declared = fixes.find(({ title }) => title === "Declare the part `bord`")
  expect(edited("shop.ruleout", declared!.edit!.changes![client.uri("shop.ruleout")]!)).toContain(
    'price 100 spare\npart bord "bord"\n',
  )

  await client.type("shop.ruleout", "of bord\n", "of board\n")
  await client.until(() => client.codes("shop.ruleout")?.includes("unknown-name") === false)
})

test("all safe fixes come as one action", async () => {
  const hard = "odds\u00a03"
  client.write("typed.ruleout", `\ufeffpart fan "fan"\nfault stuck "stuck" in fan ${hard}\n`)
  await client.open("typed.ruleout")
  await client.until(() => client.codes("typed.ruleout")?.length === 2)
  const all = await actions("typed.ruleout", hard, "source.fixAll")
  expect(all.map(({ kind, title }) => [kind, title])).toEqual([
    ["source.fixAll", "Fix 2 problems without a change of meaning"],
  ])
  expect(edited("typed.ruleout", all[0]!.edit!.changes![client.uri("typed.ruleout")]!)).toBe(
    'part fan "fan"\nfault stuck "stuck" in fan odds 3\n',
  )
  expect((await actions("typed.ruleout", hard)).map(({ kind }) => kind)).toContain("quickfix")
})

test("completion offers names by kind, with places to fill in", async () => {
  await client.type("shop.ruleout", "takes 10 min\n", 'takes 10 min\ntest x "do" swaps \n')
  const items = await client.ask<CompletionItem[]>(
    "textDocument/completion",
    client.at("shop.ruleout", "swaps \n", 6),
  )
  expect(items.filter(({ detail }) => detail === "driver board").map(({ label }) => label)).toEqual(["board"])
  await client.type("shop.ruleout", 'test x "do" swaps \n', "\n")
  const start = await client.ask<CompletionItem[]>(
    "textDocument/completion",
    client.at("shop.ruleout", "takes 10 min\n\n", 13),
  )
  const part = start.find(({ label }) => label === "part")
  expect(part?.textEdit?.newText).toMatch(/^part \$\{1:name\} "\$\{2:/)
  await client.type("shop.ruleout", "takes 10 min\n\n", "takes 10 min\n")
})

test("hover, definition, references and highlights know the names of all files", async () => {
  const at = client.at("shop.ruleout", "rail below", 1)
  const hover = await client.ask<Hover>("textDocument/hover", at)
  expect(hover.contents).toMatchObject({ kind: "markdown" })
  expect((hover.contents as { value: string }).value).toMatch(/^\*\*Rail at the board\*\*\n\n/)
  const place = await client.ask<Location>("textDocument/definition", at)
  expect(place.uri).toBe(client.uri("shared/meter.ruleout"))
  expect(client.slice(place.uri, place.range)).toBe("rail")
  const context = (includeDeclaration: boolean) => ({ context: { includeDeclaration } })
  const all = await client.ask<Location[]>("textDocument/references", { ...at, ...context(true) })
  expect(all.map(({ uri, range }) => client.slice(uri, range))).toEqual(["rail", "rail", "rail"])
  const uses = await client.ask<Location[]>("textDocument/references", { ...at, ...context(false) })
  expect(uses).toHaveLength(2)
  const marks = await client.ask<{ range: Location["range"] }[]>("textDocument/documentHighlight", at)
  expect(marks.map(({ range }) => range.start.line)).toEqual([8])
})

test("renaming changes all files, and says why it can't", async () => {
  const at = client.at("shared/meter.ruleout", "rail", 2)
  const { placeholder } = await client.ask<{ placeholder: string }>("textDocument/prepareRename", at)
  expect(placeholder).toBe("rail")
  const { changes } = await client.ask<WorkspaceEdit>("textDocument/rename", { ...at, newName: "volts" })
  expect(edited("shop.ruleout", changes![client.uri("shop.ruleout")]!)).toContain("shows volts below 4 V")
  expect(edited("shared/meter.ruleout", changes![client.uri("shared/meter.ruleout")]!)).toBe(
    shared.replaceAll(/\brail\b(?= "| t)/g, "volts"),
  )
  await expect(client.ask("textDocument/rename", { ...at, newName: "Rail 2" })).rejects.toThrow(
    "`Rail 2` isn't a name.",
  )
})

test("symbols, folding and formatting", async () => {
  const symbols = await client.ask<DocumentSymbol[]>("textDocument/documentSymbol", document("shop.ruleout"))
  expect(symbols.map(({ name }) => name)).toEqual(
    "use lamp board seat dead board_dead seat_loose try_board".split(" "),
  )
  const found = await client.ask<SymbolInformation[]>("workspace/symbol", { query: "mtr" })
  expect(found.map(({ name, location }) => [name, location.uri])).toEqual([
    ["meter", client.uri("shared/meter.ruleout")],
  ])
  const folds = await client.ask<FoldingRange[]>("textDocument/foldingRange", document("shop.ruleout"))
  expect(folds).toEqual([
    { startLine: 2, endLine: 3, kind: "comment" },
    { startLine: 7, endLine: 8 },
  ])
  const options = { options: { tabSize: 2, insertSpaces: true } }
  const edits = await client.ask<TextEdit[]>("textDocument/formatting", {
    ...document("shop.ruleout"),
    ...options,
  })
  expect(edited("shop.ruleout", edits)).toContain('ruleset lamp "Lamp: dead"\n  version "1.0.0"\n')
})

test("a selection of declarations becomes a shared file", async () => {
  const [action] = await actions(
    "shop.ruleout",
    'part board "driver board" price 100 spare\nsetup seat "board seating" of board',
    "refactor.extract",
  )
  const [created, written, changed] = action!.edit!.documentChanges as [
    { kind: string; uri: string },
    TextDocumentEdit,
    TextDocumentEdit,
  ]
  expect(created).toMatchObject({ kind: "create", uri: client.uri("shared/board.ruleout") })
  expect(written.edits.map((edit) => (edit as TextEdit).newText)).toEqual([
    '# The board and its seat.\n# Both are cheap to try.\npart board "driver board" price 100 spare\nsetup seat "board seating" of board\n',
  ])
  expect(edited("shop.ruleout", changed.edits as TextEdit[])).toBe(
    shop.replace(/# The board[\s\S]*?of board\n/, 'use "shared/board.ruleout"\n'),
  )
})

test("tokens say what each name is the name of", async () => {
  const { legend } = initialized.capabilities.semanticTokensProvider!
  const { data } = await client.ask<SemanticTokens>(
    "textDocument/semanticTokens/full",
    document("shop.ruleout"),
  )
  const text = client.text("shop.ruleout").split("\n")
  const tokens: string[] = []
  let [line, character] = [0, 0]
  for (let i = 0; i < data.length; i += 5) {
    const [down, right, length, type, modifiers] = data.slice(i, i + 5) as [number, ...number[]]
    character = down > 0 ? right! : character + right!
    line += down
    const word = text[line]!.slice(character, character + length!)
    tokens.push(`${word} ${legend.tokenTypes[type!]}${modifiers! > 0 ? " new" : ""}`)
  }
  expect(tokens.slice(tokens.indexOf("board_dead variable new"), -5)).toEqual([
    ...["board_dead variable new", '"board failed" string', "in keyword", "board class", "odds keyword"],
    ...["1 number", "shows keyword", "rail property", "below keyword", "4 number", "V type"],
    ...[
      "fault keyword",
      "seat_loose variable new",
      '"board not home" string',
      "in keyword",
      "seat interface",
    ],
    ...["odds keyword", "3 number", "test keyword", "try_board function new"],
    ...['"Fit the known-good board" string'],
  ])
})

test("hints show chances beside the odds", async () => {
  const range = client.range("shop.ruleout", client.text("shop.ruleout"))
  const hints = await client.ask<InlayHint[]>("textDocument/inlayHint", {
    ...document("shop.ruleout"),
    range,
  })
  expect(hints.map(({ label, position }) => [label, position.line])).toEqual([
    ["25 %", 7],
    ["75 %", 9],
  ])
})

test("planning shows its progress; then the cost of a job and the cases behind each declaration are there", async () => {
  const before = client.refreshed
  await client.open("seat.ruleout")
  await client.until(() => client.refreshed > before)
  const own = client.progress.filter(({ title }) => title === "Planning seat.ruleout")
  expect(own.map(({ kind }) => kind)).toEqual(["begin"])
  expect(client.progress.at(-1)?.kind).toBe("end")
  const lenses = await client.ask<CodeLens[]>("textDocument/codeLens", document("seat.ruleout"))
  const said = lenses.map(({ range, command }) => [
    client.slice(client.uri("seat.ruleout"), range),
    command!.title,
  ])
  expect(said).toEqual([
    ["ruleset seat_or_board", "77.00 EUR a job, proved best"],
    ["test try_board", "done in 1 case"],
    ["fault board_dead", "confirmed in 1 case"],
    ["fault seat_loose", "confirmed in 0 cases"],
  ])
})

test("what the best plan shows is told after planning, and no longer once the text is another", async () => {
  await client.close("seat.ruleout")
  await client.until(() => client.codes("seat.ruleout")?.length === 0)
  const unused = 'test look_again "Look at the board" redoes seat takes 500 min\n'
  await client.open("seat.ruleout", `${client.read("seat.ruleout")}${unused}`)
  await client.until(() => client.codes("seat.ruleout")?.includes("beaten-test") === true)
  await client.type("seat.ruleout", unused, "")
  await client.until(() => client.codes("seat.ruleout")?.includes("beaten-test") === false)
  const lenses = await client.ask<CodeLens[]>("textDocument/codeLens", document("seat.ruleout"))
  expect(lenses).toEqual([])
})

test("a file that no ruleset uses is served by itself", async () => {
  client.write("lone.ruleout", 'part fan "fan" price 12\nfault stuck "stuck" in fan odds\n')
  await client.open("lone.ruleout")
  await client.until(() => client.codes("lone.ruleout") !== undefined)
  expect(client.codes("lone.ruleout")).toHaveLength(1)
  const place = await client.ask<Location>("textDocument/definition", client.at("lone.ruleout", "in fan", 4))
  expect(client.slice(place.uri, place.range)).toBe("fan")
})

test("a shared file that is opened alone belongs to the ruleset in the folder that uses it", async () => {
  const other = new Client(folder)
  await other.initialize({ plan: false })
  await other.open("shared/meter.ruleout")
  await other.until(() => other.codes("shop.ruleout") !== undefined)
  const uses = await other.ask<Location[]>("textDocument/references", {
    ...other.at("shared/meter.ruleout", "rail", 1),
    context: { includeDeclaration: false },
  })
  expect(uses.map(({ uri }) => uri)).toEqual([other.uri("shop.ruleout"), other.uri("shared/meter.ruleout")])
  expect(other.progress).toEqual([])

  other.write("shop.ruleout", shop.replace("shows rail", "shows rails"))
  await other.tell("workspace/didChangeWatchedFiles", {
    changes: [{ uri: other.uri("shop.ruleout"), type: 2 }],
  })
  await other.until(() => other.codes("shop.ruleout")?.includes("unknown-name") === true)
  other.write("shop.ruleout", shop)
  expect(await other.exit()).toBe(0)
})

test("a folder that is added to the workspace is looked through for what uses an open file", async () => {
  const late = new Client(folder)
  const { folders } = late
  late.folders = []
  await late.initialize({ plan: false })
  await late.open("shared/meter.ruleout")
  await late.until(() => late.codes("shared/meter.ruleout") !== undefined)
  expect(late.codes("shop.ruleout")).toBeUndefined()
  late.folders = folders
  await late.tell("workspace/didChangeWorkspaceFolders", { event: { added: folders, removed: [] } })
  await late.until(() => late.codes("shop.ruleout") !== undefined)
  expect(await late.exit()).toBe(0)
})

test("a picture that comes while a ruleset is open is watched for, and can be named", async () => {
  expect(client.watched).toContain("**/*.{png,jpg,jpeg,webp,svg}")
  const line = 'takes 2 min picture "'
  await client.type("shared/meter.ruleout", "takes 2 min", line)
  const named = async () =>
    (
      await client.ask<CompletionItem[]>(
        "textDocument/completion",
        client.at("shared/meter.ruleout", line, line.length),
      )
    ).map(({ label }) => label)
  expect(await named()).toEqual([])
  client.write("shared/probe.png", "")
  await client.tell("workspace/didChangeWatchedFiles", {
    changes: [{ uri: client.uri("shared/probe.png"), type: 1 }],
  })
  expect(await named()).toEqual(["probe.png"])
  await client.type("shared/meter.ruleout", line, "takes 2 min")
})

test("planning that the user stops ends, and shows nothing of the plan", async () => {
  const plans = () => client.progress.filter(({ title }) => title === "Planning kiosk.ruleout")
  const isOver = ({ token }: { token: string }) =>
    client.progress.some((each) => each.token === token && each.kind === "end")
  await client.open("kiosk.ruleout", KIOSK_DARK)
  await client.until(() => plans().length === 1)
  const [stopped] = plans()
  await client.tell("window/workDoneProgress/cancel", { token: stopped!.token })
  await client.until(() => isOver(stopped!))
  expect(await client.ask<CodeLens[]>("textDocument/codeLens", document("kiosk.ruleout"))).toEqual([])
  await client.close("kiosk.ruleout")
})

test("a request that is taken back is answered as cancelled, and the next as ever", async () => {
  const params = document("shop.ruleout")
  const ends = await Promise.all(
    Array.from({ length: 20 }, () => client.cancelled("textDocument/documentSymbol", params)),
  )
  const cancelled = -32800
  expect(ends.filter((end) => end !== "answered" && end !== cancelled)).toEqual([])
  expect(ends).toContain(cancelled)
  expect(await client.ask<DocumentSymbol[]>("textDocument/documentSymbol", params)).toHaveLength(8)
})
