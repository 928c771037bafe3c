import { spawnSync } from "node:child_process"
import { join } from "node:path"

/** Checks, compiles and replays the shipped ruleset, with the commands that anyone would type. */
const root = join(import.meta.dirname, "..")
const RULESET = "rulesets/desktop-no-picture/desktop-no-picture.ruleout"
const CASES = "rulesets/desktop-no-picture/desktop-no-picture.cases.jsonl"
const GRAPH = "desktop_no_picture.graph.json"

const commands = [
  ["check", RULESET],
  ["compile", RULESET, "--out", GRAPH],
  ["replay", GRAPH, CASES],
]

for (const args of commands) {
  console.log(`\n$ ruleout ${args.join(" ")}\n`)
  const run = spawnSync(process.execPath, ["dist/cli/main.js", ...args], { cwd: root, stdio: "inherit" })
  // 1 says that something was found, which is printed and is no reason to stop.
  if (run.status !== 0 && run.status !== 1) process.exit(run.status ?? 2)
}

console.log(`\nThe graph is in ${GRAPH}. Walk through a job with it:\n\n$ ruleout bench ${GRAPH}`)
