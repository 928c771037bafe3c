/** What this machine has of what commands use. */
import { spawnSync } from "node:child_process"
import { accessSync, constants } from "node:fs"
import { tmpdir, totalmem } from "node:os"
import { partPath } from "./parts.ts"

export interface ThisMachine {
  /** Like `22.14.0`. */
  readonly node: string
  readonly temporary: string
  /** Bytes. */
  readonly memory: number
  /** What a program says of its version; undefined where there is none of these names. */
  programVersion(names: readonly string[], flag: string): string | undefined
  canWrite(folder: string): boolean
  hasPart(name: string): boolean
  hasDuckDb(): Promise<boolean>
  canSign(): Promise<boolean>
}

export const thisMachine: ThisMachine = {
  node: process.versions.node,
  temporary: tmpdir(),
  memory: totalmem(),
  programVersion(names, flag) {
    for (const name of names) {
      const { status, stdout } = spawnSync(name, [flag], { encoding: "utf8", timeout: 10_000 })
      if (status === 0) return stdout.trim()
    }
    return undefined
  },
  canWrite: (folder) => works(() => accessSync(folder, constants.W_OK)),
  hasPart: (name) => partPath(name) !== undefined,
  hasDuckDb: () => succeeds(() => import("@duckdb/node-api")),
  canSign: () => succeeds(() => crypto.subtle.generateKey("Ed25519", false, ["sign", "verify"])),
}

function works(work: () => void): boolean {
  try {
    work()
    return true
  } catch {
    return false
  }
}

async function succeeds(work: () => Promise<unknown>): Promise<boolean> {
  try {
    await work()
    return true
  } catch {
    return false
  }
}
