import { spawnSync } from "node:child_process"
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, vi } from "vitest"
import { run } from "../../compiler/cli/program.ts"

const root = join(import.meta.dirname, "../..")
export const main = join(root, "dist/cli/main.js")

/** Line breaks aside, what a terminal would obey. */
export const OBEYED = /[^\P{Cc}\n]|\u202e/u

/** A ruleset with an error. */
export const BROKEN = `ruleset b "b"\npart p "p" prise 3\n`

let folder = ""

/** A folder of a file of tests, whose files are named as the command line names them there. */
export interface Folder {
  readonly folder: string
  readonly at: (name: string) => string
  readonly read: (name: string) => string
  /** Writes a file, and gives its name back. */
  readonly put: (name: string, text: string | Uint8Array) => string
  readonly removeAllBut: (...names: readonly string[]) => void
}

/**
 * Called once in a file of tests, which gets a folder of its own: the files of a worker share this module. In it the
 * kiosk of the language's reference, of which the analysis has something to say, and a part with its seat, of which it
 * has not.
 */
export function openFolder(): Folder {
  const own = mkdtempSync(join(tmpdir(), "ruleout-"))
  for (const name of ["kiosk.ruleout", "seat.ruleout"])
    copyFileSync(join(import.meta.dirname, name), join(own, name))
  afterAll(() => rmSync(own, { recursive: true, force: true }))
  folder = own
  const at = (name: string) => join(own, name)
  return {
    folder: own,
    at,
    read: (name) => readFileSync(at(name), "utf8"),
    put(name, text) {
      writeFileSync(at(name), text)
      return name
    },
    removeAllBut(...names) {
      for (const name of readdirSync(own))
        if (!names.includes(name)) rmSync(at(name), { recursive: true, force: true })
    },
  }
}

/** For files of tests that run the command line many times each, on a machine that may be busy. */
export function takeTime(): void {
  vi.setConfig({ testTimeout: 120_000 })
  afterAll(() => vi.resetConfig())
}

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
  const ran = spawnSync(process.execPath, [main, ...args], {
    cwd: folder,
    input,
    env: { ...rest, ...env },
    encoding: "utf8",
    maxBuffer: 1 << 26,
  })
  if (ran.error) throw ran.error
  return { exit: ran.status, out: ran.stdout, err: ran.stderr }
}

/** The same without a process of its own, for the many short ones that read nothing from standard input. */
export async function said(args: readonly string[]): Promise<Ran> {
  const text = { out: "", err: "" }
  const catching = (stream: NodeJS.WriteStream, key: "out" | "err") =>
    vi.spyOn(stream, "write").mockImplementation((chunk) => {
      text[key] += String(chunk)
      return true
    })
  const before = process.cwd()
  const spies = [catching(process.stdout, "out"), catching(process.stderr, "err")]
  process.chdir(folder)
  try {
    return { exit: await run(args), ...text }
  } finally {
    process.chdir(before)
    for (const spy of spies) spy.mockRestore()
  }
}
