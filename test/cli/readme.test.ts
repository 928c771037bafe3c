import { spawnSync } from "node:child_process"
import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, describe, expect, test } from "vitest"
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

/** The commands of a block, each with what it prints; a line of `…` stands for any number of lines. */
function commandsOf(block: Example): { command: string; stated: string; typed: string }[] {
  return block.text
    .split(/^\$ /m)
    .slice(1)
    .map((part) => {
      const [command, ...lines] = part.trimEnd().split("\n")
      const typed = lines.filter((line) => line.startsWith(">")).map((line) => `${line.slice(2)}\n`)
      return { command: command!, stated: lines.join("\n"), typed: typed.join("") }
    })
}

function asPattern(stated: string): RegExp {
  const escaped = stated.replaceAll(/[.*+?^${}()|[\]\\]/g, "\\$&").replaceAll(/^…$/gm, "(?:.*\\n)*?.*")
  return new RegExp(`^${escaped}$`)
}

describe("the tour", () => {
  for (const { command, stated, typed } of blocks
    .filter(({ info }) => info === "console")
    .flatMap(commandsOf)) {
    test(command.length > 70 ? `${command.slice(0, 69)}…` : command, () => {
      const printed = run(command, typed)
      if (!asPattern(stated).test(printed)) expect(printed).toBe(stated)
    })
  }

  test("has a job with a swap that is not believed before the old part is back", () => {
    expect(readme).toMatch(/> gone\n {2}! Gone for more than one possible reason[\s\S]*put back panel/)
  })
})

test("the ruleset on the page is the one that is shipped", () => {
  const shipped = readFileSync(join(root, "rulesets/ticket-kiosk/ticket-kiosk.ruleout"), "utf8")
  const shown = blocks.find(({ info }) => info === "ruleout")!.text
  expect(shipped).toContain(shown)
})

test("the program on the page runs and prints what stands below it", () => {
  const [program, printed] = blocks.filter(({ info }) => info === "js" || info === "text")
  const graph = JSON.stringify(join(folder, "kiosk_dark.graph.json"))
  const text = program!.text.replace('"kiosk_dark.graph.json"', graph)
  const ran = spawnSync(process.execPath, ["--input-type=module", "-e", text], {
    cwd: root,
    encoding: "utf8",
  })
  expect(ran.stderr).toBe("")
  expect(ran.stdout.trimEnd()).toBe(printed!.text)
})

test("what the page links to is there", () => {
  const links = [...readme.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map((match) => match[1]!)
  expect(links.length).toBeGreaterThan(4)
  for (const link of links)
    if (!link.startsWith("http")) expect(existsSync(join(root, link)), link).toBe(true)
})
