import { spawnSync } from "node:child_process"
import { copyFileSync, mkdtempSync, rmSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll } from "vitest"

const root = join(import.meta.dirname, "../..")
export const main = join(root, "dist/cli/main.js")

/** A folder of its own for each file of tests, with the kiosk of the language's reference in it. */
export const folder = mkdtempSync(join(tmpdir(), "ruleout-"))
copyFileSync(join(import.meta.dirname, "kiosk.ruleout"), join(folder, "kiosk.ruleout"))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

export interface Ran {
  readonly exit: number | null
  readonly out: string
  readonly err: string
}

/** What a shell would have seen: no terminal, no colours unless the environment says so. */
export function ruleout(
  args: readonly string[],
  input: string | Uint8Array = "",
  env: NodeJS.ProcessEnv = {},
): Ran {
  const { NO_COLOR, FORCE_COLOR, ...rest } = process.env
  const run = spawnSync(process.execPath, [main, ...args], {
    cwd: folder,
    input,
    env: { ...rest, ...env },
    encoding: "utf8",
    maxBuffer: 1 << 26,
  })
  if (run.error) throw run.error
  return { exit: run.status, out: run.stdout, err: run.stderr }
}
