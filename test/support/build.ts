import { spawnSync } from "node:child_process"
import { existsSync, readdirSync, statSync } from "node:fs"
import { join } from "node:path"

const root = join(import.meta.dirname, "../..")
const main = join(root, "dist/cli/main.js")

/** Tests of the command line run what is shipped, `dist/`: built once before the tests where it is out of date. */
export default function build(): void {
  if (existsSync(main) && statSync(main).mtimeMs >= newest(join(root, "compiler"))) return
  const tsc = join(root, "node_modules/typescript/bin/tsc")
  const run = spawnSync(process.execPath, [tsc, "-p", "tsconfig.build.json"], { cwd: root, encoding: "utf8" })
  if (run.error) throw run.error
  // `npm test` has built before and stopped at type errors; here they only concern who runs a single test meanwhile.
  if (run.status !== 0) console.warn(`The library was built with type errors:\n${run.stdout}`)
}

function newest(folder: string): number {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((latest, entry) => Math.max(latest, statSync(join(entry.parentPath, entry.name)).mtimeMs), 0)
}
