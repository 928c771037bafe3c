import { spawnSync } from "node:child_process"

/**
 * Runs a script in SQLite's own shell, in memory, and gives its rows as CSV lines. Takes the shell that is installed, else
 * Debian's package, installed here where we may. Throws with what to do otherwise: these tests are never skipped in silence.
 */
export function sqlite(script: string): string[] {
  const shell = process.env.RULEOUT_SQLITE ?? "sqlite3"
  if (!there(shell)) install()
  const ran = spawnSync(shell, ["-batch", "-bail", "-csv", ":memory:"], {
    input: script,
    encoding: "utf8",
    maxBuffer: 1 << 28,
  })
  if (ran.error) throw ran.error
  if (ran.status !== 0) throw new Error(ran.stderr)
  return ran.stdout.split(/\r?\n/).filter((line) => line !== "")
}

const there = (shell: string) => spawnSync(shell, ["-version"]).status === 0

function install(): void {
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" }
  if (process.getuid?.() === 0)
    for (const args of [["update"], ["install", "--yes", "--no-install-recommends", "sqlite3"]])
      spawnSync("apt-get", ["-q", ...args], { env, stdio: "inherit" })
  if (!there("sqlite3"))
    throw new Error(
      "The SQL tests need SQLite's shell, and none was found. Install it (on Debian: `apt-get install sqlite3`), or set RULEOUT_SQLITE to one.",
    )
}
