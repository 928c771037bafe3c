import { spawnSync } from "node:child_process"
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, expect, test } from "vitest"
import { type Example, examplesOf } from "../support/examples.ts"

/** The README's tour is run as it stands, command by command, in a folder that has only the shipped rulesets. */
const root = join(import.meta.dirname, "../..")
const readme = readFileSync(join(root, "README.md"), "utf8")
const blocks = examplesOf("README.md", readme)

const folder = mkdtempSync(join(tmpdir(), "ruleout-readme-"))
symlinkSync(join(root, "rulesets"), join(folder, "rulesets"))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const ruleout = `ruleout() { "${process.execPath}" "${join(root, "dist/cli/main.js")}" "$@"; }`

function run(command: string, input: string): string {
  const script = `${ruleout}\n{ ${command}\n} 2>&1`
  return spawnSync("bash", ["-c", script], { cwd: folder, input, encoding: "utf8" }).stdout.trimEnd()
}

/** The commands of a block, each with what is typed into it. */
function commandsOf(block: Example): { command: string; typed: string }[] {
  return block.text
    .split(/^\$ /m)
    .slice(1)
    .map((part) => {
      const [command, ...lines] = part.trimEnd().split("\n")
      const typed = lines.filter((line) => line.startsWith(">")).map((line) => `${line.slice(2)}\n`)
      return { command: command!, typed: typed.join("") }
    })
}

/**
 * The page as it is when everything on it is run once more. Where a newer program or ruleset says something else, the
 * difference is to be read, and `npx vitest run test/cli/readme.test.ts -u` writes it.
 */
function rerun(): string {
  let page = readme
  for (const block of blocks.filter(({ info }) => info === "console")) {
    const ran = commandsOf(block).map(({ command, typed }) => [`$ ${command}`, run(command, typed)])
    page = page.replace(block.text, () => ran.map((each) => each.filter(Boolean).join("\n")).join("\n"))
  }
  const [program, printed] = blocks.filter(({ info }) => info === "js" || info === "text")
  return page.replace(printed!.text, () => runProgram(program!.text))
}

function runProgram(text: string): string {
  const graph = JSON.stringify(join(folder, "kiosk_dark.graph.json"))
  const args = ["--input-type=module", "-e", text.replace('"kiosk_dark.graph.json"', graph)]
  const ran = spawnSync(process.execPath, args, { cwd: root, encoding: "utf8" })
  expect(ran.stderr).toBe("")
  return ran.stdout.trimEnd()
}

test("everything on the page runs as printed and says what stands there", async () => {
  expect(blocks.filter(({ info }) => info === "console").flatMap(commandsOf).length).toBeGreaterThan(5)
  await expect(rerun()).toMatchFileSnapshot(join(root, "README.md"))
}, 60_000)

test("the tour has a job with a swap that is not believed before the old part is back", () => {
  expect(readme).toMatch(/ try_panel\n(?: .*\n)+> gone\n\nStep \d+ {2}put back panel\n/)
})

test("the tour compiles without a warning, to a plan that is proved best, and its job is closed and replayed", () => {
  expect(readme).toMatch(/\$ ruleout compile \S+\nTicket kiosk/)
  expect(readme).toContain("Proved: no plan costs less.")
  expect(readme).toContain("The machine passed its proof run: the job is done.")
  expect(readme).toMatch(/fixed and closed +1 of 1/)
})

test("the ruleset on the page is the one that is shipped", () => {
  const shipped = readFileSync(join(root, "rulesets/ticket-kiosk/ticket-kiosk.ruleout"), "utf8")
  const shown = blocks.find(({ info }) => info === "ruleout")!.text
  expect(shipped).toContain(shown)
})

test("what the page links to is there", () => {
  const links = [...readme.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map((match) => match[1]!)
  expect(links.length).toBeGreaterThan(4)
  for (const link of links)
    if (!link.startsWith("http")) expect(existsSync(join(root, link)), link).toBe(true)
})

test("the guide for developers names what is there, and every folder of the compiler", () => {
  const guide = readFileSync(join(root, "DEVELOPERS.md"), "utf8")
  const paths = [...guide.matchAll(/`((?:compiler|playground|rulesets|test|dist|\.ci)\/[\w./-]+)`/g)].map(
    (match) => match[1]!,
  )
  expect(paths.length).toBeGreaterThan(15)
  for (const path of paths) expect(existsSync(join(root, path)), path).toBe(true)
  const folders = readdirSync(join(root, "compiler"), { withFileTypes: true }).filter((each) =>
    each.isDirectory(),
  )
  const tree = guide.slice(guide.indexOf("    compiler/"), guide.indexOf("    playground/"))
  for (const { name } of folders) expect(tree).toContain(`\n      ${name}/`)
  for (const [, folder] of tree.matchAll(/^ {6}(\w+)\/ /gm))
    expect(existsSync(join(root, "compiler", folder!)), folder).toBe(true)
})
