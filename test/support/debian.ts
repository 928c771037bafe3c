import { spawnSync } from "node:child_process"
import { existsSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"

/**
 * The first of these programs that is there; else Debian's package of that name, installed here where we may.
 * Undefined where neither works.
 */
export function debian(places: readonly string[], name: string): string | undefined {
  const installed = () => places.find((place) => existsSync(place))
  return installed() ?? (install(name) ? installed() : undefined)
}

/** One process at a time: test files run side by side, and apt fails where another one holds its lists. */
function install(name: string): boolean {
  if (process.getuid?.() !== 0) return false
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" }
  const lock = join(tmpdir(), "ruleout-apt.lock")
  return [["update"], ["install", "--yes", "--no-install-recommends", name]].every(
    (args) => spawnSync("flock", [lock, "apt-get", "-q", ...args], { env, stdio: "inherit" }).status === 0,
  )
}
