import { spawnSync } from "node:child_process"
import { existsSync, readdirSync, statSync } from "node:fs"
import { join } from "node:path"

const root = join(import.meta.dirname, "../..")

/** Tests of what is shipped use `dist/`: built once before the tests where it is out of date. */
export default function build(): void {
  if (isOlder(join(root, "dist/cli/main.js"), "compiler"))
    run("typescript/bin/tsc", ["-p", "tsconfig.build.json"], "with type errors")
  if (isOlder(join(root, "dist/parts/runner.js"), "compiler", "playground"))
    run("tsx/dist/cli.mjs", ["playground/build/bundle-parts.ts"], "without what exports carry")
}

// `npm test` has built before and stopped at errors; here they only concern who runs a single test meanwhile.
function run(tool: string, args: readonly string[], how: string): void {
  const program = join(root, "node_modules", tool)
  const ran = spawnSync(process.execPath, [program, ...args], { cwd: root, encoding: "utf8" })
  if (ran.error) throw ran.error
  if (ran.status !== 0) console.warn(`The library was built ${how}:\n${ran.stdout}${ran.stderr}`)
}

function isOlder(made: string, ...sources: readonly string[]): boolean {
  return !existsSync(made) || sources.some((source) => newest(join(root, source)) > statSync(made).mtimeMs)
}

function newest(place: string): number {
  if (statSync(place).isFile()) return statSync(place).mtimeMs
  return readdirSync(place, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((latest, entry) => Math.max(latest, statSync(join(entry.parentPath, entry.name)).mtimeMs), 0)
}
