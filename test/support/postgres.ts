import { spawnSync } from "node:child_process"
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"

/**
 * Runs a script on a PostgreSQL server of its own, which is made for it and gone after it, and gives its rows as CSV lines.
 * Undefined where the machine has no PostgreSQL.
 */
export function postgres(script: string): string[] | undefined {
  const bin = newest()
  if (bin === undefined) return undefined
  const folder = mkdtempSync(join(tmpdir(), "ruleout-pg-"))
  const data = join(folder, "data")
  // The server will not run as root.
  const asRoot = process.getuid?.() === 0
  if (asRoot) chownSync(folder, ...idsOf("postgres"))
  const run = (program: string, args: readonly string[]) => {
    const command = [join(bin, program), ...args]
    const all = asRoot ? ["runuser", "-u", "postgres", "--", ...command] : command
    const ran = spawnSync(all[0]!, all.slice(1), {
      encoding: "utf8",
      cwd: folder,
      maxBuffer: 1 << 28,
      stdio: ["ignore", "pipe", "pipe"],
    })
    if (ran.status !== 0) throw new Error(`${program}: ${ran.stderr || ran.error?.message}`)
    return ran.stdout
  }
  const file = join(folder, "script.sql")
  writeFileSync(file, script)
  try {
    run("initdb", ["-D", data, "-A", "trust", "-E", "UTF8", "--no-sync"])
    run("pg_ctl", [
      "-D",
      data,
      "-w",
      "-l",
      join(folder, "log"),
      "-o",
      `-k ${folder} -c listen_addresses='' -c fsync=off`,
      "start",
    ])
    try {
      const said = run("psql", [
        "-h",
        folder,
        "-d",
        "postgres",
        "-q",
        "--csv",
        "-t",
        "-v",
        "ON_ERROR_STOP=1",
        "-f",
        file,
      ])
      return said.split("\n").filter((line) => line !== "")
    } finally {
      run("pg_ctl", ["-D", data, "-m", "immediate", "stop"])
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

function newest(): string | undefined {
  const root = "/usr/lib/postgresql"
  if (!existsSync(root)) return undefined
  const version = readdirSync(root)
    .filter((name) => existsSync(join(root, name, "bin/initdb")))
    .sort((a, b) => Number(b) - Number(a))[0]
  return version === undefined ? undefined : join(root, version, "bin")
}

function idsOf(user: string): [number, number] {
  const id = (flag: string) => Number(spawnSync("id", [flag, user], { encoding: "utf8" }).stdout)
  return [id("-u"), id("-g")]
}
