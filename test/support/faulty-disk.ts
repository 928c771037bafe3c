import fs from "node:fs"
import { syncBuiltinESMExports } from "node:module"

/** What changes a disk. */
const changing = [
  "openSync",
  "writeSync",
  "writeFileSync",
  "ftruncateSync",
  "fchmodSync",
  "fchownSync",
  "fsyncSync",
  "renameSync",
  "rmSync",
] as const

type Fault = "killed" | "full"

class Killed extends Error {}

/**
 * Does the work on a disk that fails at the `at`-th change, from 1: it is full then, and takes half of what is being
 * written; or the process is killed there, and nothing that it would still do comes to pass. Returns whether it came
 * that far.
 */
export async function onFaultyDisk(fault: Fault, at: number, work: () => Promise<unknown>): Promise<boolean> {
  const real = new Map(changing.map((name) => [name, fs[name] as (...args: unknown[]) => unknown]))
  let calls = 0
  for (const [name, call] of real)
    Object.assign(fs, {
      [name]: (...args: unknown[]) => {
        if (name === "openSync" && (args[1] ?? "r") === "r") return call(...args)
        calls++
        if (fault === "full" ? calls !== at : calls < at) return call(...args)
        if (name === "writeSync" && calls === at) {
          const [handle, bytes, from, length] = args as [number, Uint8Array, number, number]
          call(handle, bytes, from, length >> 1)
        }
        throw fault === "killed"
          ? new Killed("killed")
          : Object.assign(new Error("ENOSPC: no space left on device"), { code: "ENOSPC" })
      },
    })
  syncBuiltinESMExports()
  try {
    await work()
  } catch (error) {
    if (!(error instanceof Killed)) throw error
  } finally {
    for (const [name, call] of real) Object.assign(fs, { [name]: call })
    syncBuiltinESMExports()
  }
  return calls >= at
}
