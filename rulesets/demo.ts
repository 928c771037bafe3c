import { spawnSync } from "node:child_process"
import { join } from "node:path"

/** Checks, compiles and replays the shipped ruleset, with the commands that anyone would type. */
const root = join(import.meta.dirname, "..")
const ruleset = "rulesets/desktop-no-picture/desktop-no-picture.ruleout"
const cases = "rulesets/desktop-no-picture/desktop-no-picture.cases.jsonl"
const graph = "desktop_no_picture.graph.json"

const commands = [
  ["check", ruleset],
  ["compile", ruleset, "--out", graph],
  ["replay", graph, cases],
]

for (const args of commands) {
  console.log(`\n$ ruleout ${args.join(" ")}\n`)
  const run = spawnSync(process.execPath, ["dist/cli/main.js", ...args], { cwd: root, stdio: "inherit" })
  // 1 says that something was found, which is printed and is no reason to stop.
  if (run.status !== 0 && run.status !== 1) process.exit(run.status ?? 2)
}

console.log(`\nThe graph is in ${graph}. Walk through a job with it:\n\n$ ruleout bench ${graph}`)
