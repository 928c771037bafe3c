import { spawnSync } from "node:child_process"
import { existsSync } from "node:fs"

/**
 * The first of these programs that is there; else Debian's package of that name, installed here where we may.
 * Undefined where neither works.
 */
export function debian(places: readonly string[], name: string): string | undefined {
  const installed = () => places.find((place) => existsSync(place))
  return installed() ?? (install(name) ? installed() : undefined)
}

function install(name: string): boolean {
  if (process.getuid?.() !== 0) return false
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" }
  return [["update"], ["install", "--yes", "--no-install-recommends", name]].every(
    (args) => spawnSync("apt-get", ["-q", ...args], { env, stdio: "inherit" }).status === 0,
  )
}
