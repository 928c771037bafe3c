import { effect, signal, untracked } from "@preact/signals"
import type { Comparison } from "../../compiler/cases/compare/compare.ts"
import { linesOf } from "../../compiler/cases/record/lines.ts"
import type { CaseDiagnostic } from "../../compiler/cases/record/read.ts"
import type { Report } from "../../compiler/cases/report/report.ts"
import type { Graph, Recorded } from "../../compiler/run/index.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { rulesetName } from "../ruleset-name.ts"
import { compiled, projectsOpened, say } from "../state.ts"
import { type CaseFile, storeCaseFile, storedCaseFile, storedValue, storeValue } from "../store.ts"
import type { CaseRow, functions, TableRemark } from "../workers/replay.worker.ts"
import ReplayWorker from "../workers/replay.worker.ts?worker"
import { forward, type Remote } from "../workers/rpc.ts"
import type { Choice, TableColumn } from "../workers/table-columns.ts"
import type { OpenedFile } from "./files.ts"

/** The recorded cases, one a line, and what replaying them on the graph at hand has shown. */
export interface CasesState {
  readonly name: string
  readonly text: string
  readonly cases: number
  /** What there is to say of the tables that they came from. */
  readonly tables?: Tables
  readonly report?: Report
  readonly rows?: readonly CaseRow[]
  readonly diagnostics?: readonly CaseDiagnostic[]
  /** Against the graph that was shipped last. */
  readonly comparison?: Comparison
  /** The graph that the report is of: while the search goes on, one text has several. */
  readonly graph?: Graph
  readonly progress?: { readonly done: number; readonly of: number }
  readonly failed?: string
}

export interface Tables {
  /** By row and column. */
  readonly remarks: readonly TableRemark[]
  /** Rows that were left out, a table by the name of the file that each was in. */
  readonly rejected: readonly { readonly name: string; readonly text: string }[]
}

const none: CasesState = { name: "", text: "", cases: 0 }
export const casesState = signal<CasesState>(none)
export const chosenCase = signal<number | undefined>(undefined)

/** Started with the first replay, and ended to stop one. */
let worker: Worker | undefined
/** What speaks to it. */
let remote: Remote<typeof functions> | undefined
/** Counts replays, so that the answer to an older one is dropped. */
let round = 0

function replayWorker(): Remote<typeof functions> {
  worker ??= new ReplayWorker()
  remote ??= forward<typeof functions>(worker, (told) => {
    casesState.value = { ...casesState.value, progress: told as { done: number; of: number } }
  })
  return remote
}

/** Whose the cases at hand are: each ruleset has a case file of its own. */
let owner = ""

export async function startCases(): Promise<void> {
  owner = rulesetName.peek()
  const own = await storedCaseFile(owner)
  // Older versions of this page kept one file of cases, those of the project that is kept too.
  const file = own ?? (await storedValue("cases"))
  if (typeof file?.text === "string" && (file.ruleset ?? owner) === owner) setText(file.name, file.text)
  let opened = projectsOpened.peek()
  effect(() => {
    const name = rulesetName.value
    if (projectsOpened.value === opened) return renamed(name)
    opened = projectsOpened.value
    untracked(() => void turnTo(name))
  })
}

/** The author gave the ruleset another name: its cases stay with it. */
function renamed(name: string): void {
  if (name !== "") owner = name
}

/** Puts the cases away that are of another ruleset, and brings those of this one. */
async function turnTo(name: string): Promise<void> {
  if (name === owner) return
  const before = owner
  owner = name
  await putAway(before)
  const own = await storedCaseFile(name)
  // Meanwhile a file of cases may have been opened for it.
  if (owner === name && casesState.peek().cases === 0) store(own?.name ?? "", own?.text ?? "")
}

async function putAway(ruleset: string): Promise<void> {
  const { name, text, cases } = casesState.peek()
  if (cases === 0) return
  setText("", "")
  await storeCaseFile(ruleset, { name, text, ruleset })
}

function setText(name: string, text: string, tables: Tables = { remarks: [], rejected: [] }): void {
  chosenCase.value = undefined
  const cases = recordLines(text).length
  casesState.value = { name, text, cases, tables }
}

function store(name: string, text: string, tables?: Tables): void {
  setText(name, text, tables)
  const file: CaseFile = { name, text, ruleset: owner }
  void storeValue("cases", file)
  if (owner !== "") void storeCaseFile(owner, file)
}

/** Opens files of cases: lines of JSON, or tables, which become lines as soon as there is a graph to read them by. */
export async function loadCases(files: readonly OpenedFile[]): Promise<void> {
  const [first] = files
  if (!first) return
  await turnTo(rulesetName.peek())
  const texts: string[] = []
  const remarks: TableRemark[] = []
  const rejected: { name: string; text: string }[] = []
  for (const { name, text } of files) {
    if (!/\.[ct]sv$/i.test(name)) {
      texts.push(text.trimEnd())
      continue
    }
    const made = compiled.value
    if (!made)
      return say("Fix the ruleset first: a table is read with the names of its graph.", { bad: true })
    const headers = await askedHeaders(name, made.text, text)
    if (headers === "turned back") return
    const table = await replayWorker().linesOf(made.text, text, headers)
    texts.push(table.text)
    remarks.push(...table.remarks)
    if (table.rejected !== "")
      rejected.push({ name: name.replace(/\.[ct]sv$/i, ".rejected.csv"), text: table.rejected })
  }
  const name = first.name.replace(/\.[ct]sv$/i, ".cases.jsonl")
  replace(name, texts.join("\n"), { remarks, rejected })
  void replayAll()
}

/** A table with columns that weren't recognised, until somebody has said what they are. */
export interface ForeignTable {
  readonly name: string
  readonly columns: readonly TableColumn[]
  readonly choices: readonly Choice[]
  /** With a header for each column, empty for those that don't count; without, nothing is opened. */
  readonly answer: (headers: readonly string[] | undefined) => void
}
export const foreignTable = signal<ForeignTable | undefined>(undefined)

/** Headers for a table; undefined where its own say it all. */
async function askedHeaders(
  name: string,
  graph: string,
  table: string,
): Promise<readonly string[] | undefined | "turned back"> {
  const { columns, choices } = await replayWorker().columnsOf(graph, table)
  const isKnown = ({ header, samples }: TableColumn) => header !== "" || samples.length === 0
  if (columns.every(isKnown)) return undefined
  const headers = await new Promise<readonly string[] | undefined>((answer) => {
    foreignTable.value = { name, columns, choices, answer }
  })
  foreignTable.value = undefined
  return headers ?? "turned back"
}

export function clearCases(): void {
  replace("", "")
}

/** Puts other cases in place of these, which may be the only record of jobs at the bench: there is a way back. */
function replace(name: string, text: string, tables?: Tables): void {
  const before = casesState.value
  store(name, text, tables)
  if (before.cases === 0 || before.text === text) return
  say(`Closed ${before.name}: ${countOf(before.cases, "case")}.`, {
    action: { label: "Open them again", run: () => store(before.name, before.text) },
  })
}

/** The record in a line of the cases, counted from 1; undefined where it isn't one. */
export function recordIn(line: number): Recorded | undefined {
  try {
    const found = [...linesOf(casesState.value.text)].find(({ n }) => n === line)
    return JSON.parse(found?.line ?? "") as Recorded
  } catch {
    return undefined
  }
}

/** Adds a finished job to the case file of its ruleset; a record of the same id takes the place of the older one. */
export async function addRecord(ruleset: string, record: Recorded): Promise<void> {
  // Another tab may have added to it since.
  const { name = "", text = "" } = (await storedCaseFile(ruleset)) ?? atHand(ruleset) ?? {}
  const lines = recordLines(text).filter((line) => idOf(line) !== record.id)
  const file = {
    name: name || `${ruleset}.cases.jsonl`,
    text: [...lines, JSON.stringify(record)].join("\n"),
    ruleset,
  }
  if (ruleset === owner) store(file.name, file.text)
  else await storeCaseFile(ruleset, file)
}

const atHand = (ruleset: string) => (ruleset === owner ? casesState.peek() : undefined)

/** The records in the case file of a ruleset, the last first; what isn't a record is left out. */
export async function recordsOf(ruleset: string): Promise<Recorded[]> {
  const file = atHand(ruleset) ?? (await storedCaseFile(ruleset))
  return recordLines(file?.text ?? "")
    .flatMap((line) => (idOf(line) === undefined ? [] : [JSON.parse(line) as Recorded]))
    .reverse()
}

function recordLines(text: string): string[] {
  return [...linesOf(text)].flatMap(({ line }) => (line.trim() === "" ? [] : [line]))
}

function idOf(line: string): unknown {
  try {
    return (JSON.parse(line) as { id?: unknown }).id
  } catch {
    return undefined
  }
}

/** Walks all cases through the graph in a worker; a new round ends the old one. */
export async function replayAll(): Promise<void> {
  const made = compiled.value
  const { name, text, cases, tables } = casesState.value
  const given = { name, text, cases, ...(tables ? { tables } : {}) }
  if (!made || cases === 0) return
  round += 1
  const mine = round
  if (casesState.value.progress) {
    worker?.terminate()
    worker = undefined
    remote = undefined
  }
  casesState.value = { ...given, progress: { done: 0, of: cases } }
  try {
    const { report, rows, diagnostics } = await replayWorker().replay(made.text, text)
    if (mine !== round) return
    casesState.value = { ...given, report, rows, diagnostics, graph: made.graph }
    await compareWithShipped(made.text, text, mine)
  } catch {
    if (mine === round)
      casesState.value = { ...given, failed: "These cases couldn't be replayed on this graph." }
  }
}

/** How the cases in these lines end on the graph, as a table (CSV). */
export function outcomesOf(lines: readonly number[]): Promise<string> {
  return replayWorker().outcomes(lines)
}

/** Holds the graph at hand against the one that was shipped last. */
async function compareWithShipped(fresh: string, text: string, mine: number): Promise<void> {
  const old = await storedValue("shipped")
  if (typeof old !== "string" || old === fresh) return
  try {
    const comparison = await replayWorker().compare(old, fresh, text)
    if (mine === round && comparison) casesState.value = { ...casesState.value, comparison }
  } catch {
    // A graph of another ruleset, or of an older format, has nothing to say here.
  }
}

/** Cases at hand are walked again as soon as there is a newer graph and somebody looks at them. */
export function replayWhenNeeded(): () => void {
  return effect(() => {
    const made = compiled.value
    const { cases, graph, progress, failed } = casesState.value
    if (!made || cases === 0 || progress || failed || graph === made.graph) return
    void replayAll()
  })
}
