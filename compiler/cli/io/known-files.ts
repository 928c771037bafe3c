/** The files that a command has read and those that it is going to write, by what they are, not by what they are called. */
import { type BigIntStats, fstatSync, lstatSync, realpathSync, statSync } from "node:fs"
import { basename, dirname, join, resolve } from "node:path"

/** Of the command that runs: it is the process's, like the files themselves, so nobody hands it through. */
const inputs = new Set<string>()
/** The same of outputs, so that no two of them go to one file. */
const outputs = new Set<string>()
/** By path, there or not: what `--watch` waits for, as it was when it was first looked for. */
const lookedFor = new Map<string, string>()

/** For the next command line of this process. */
export function forgetFiles(): void {
  inputs.clear()
  outputs.clear()
  lookedFor.clear()
}

/** To be called for every file that is looked for, whether or not it is there. */
export function noteLookedFor(path: string): void {
  if (path !== "-" && !lookedFor.has(path)) lookedFor.set(path, stateOf(path))
}

export function filesLookedFor(): readonly string[] {
  return [...lookedFor.keys()]
}

/** Whether a file is another than when it was looked for: written, replaced, removed or made. */
export function hasChanged(): boolean {
  return [...lookedFor].some(([path, state]) => stateOf(path) !== state)
}

/** Empty if it isn't there, or if nothing can be at such a path. */
function stateOf(path: string): string {
  try {
    const stat = statSync(path, { bigint: true })
    return `${identity(stat)} ${stat.size} ${stat.mtimeNs}`
  } catch {
    return ""
  }
}

/** To be called for every file that is read: no output may take its place. */
export function noteInput(file: string | number): void {
  const stat =
    typeof file === "number"
      ? fstatSync(file, { bigint: true })
      : statSync(file, { bigint: true, throwIfNoEntry: false })
  if (stat?.isFile()) inputs.add(identity(stat))
}

/** Whether the file has been read, by this name or another one: a link leads to the same file. */
export function isInput(path: string): boolean {
  const stat = statSync(path, { bigint: true, throwIfNoEntry: false })
  return stat !== undefined && inputs.has(identity(stat))
}

/** Whether nothing else that this command writes goes to the same file. */
export function claimOutput(path: string): boolean {
  const place = placeOf(path)
  if (outputs.has(place)) return false
  outputs.add(place)
  return true
}

/** Device and inode, which all names of a file share. */
function identity({ dev, ino }: BigIntStats): string {
  return `${dev}:${ino}`
}

function placeOf(path: string): string {
  const stat = statSync(path, { bigint: true, throwIfNoEntry: false })
  if (stat?.isFile()) return identity(stat)
  // Two outputs may well share a terminal.
  if (stat !== undefined && !stat.isDirectory()) return `${identity(stat)} ${outputs.size}`
  const folder = lstatSync(dirname(path), { throwIfNoEntry: false }) && realpathSync(dirname(path))
  return join(folder ?? resolve(dirname(path)), basename(path))
}
