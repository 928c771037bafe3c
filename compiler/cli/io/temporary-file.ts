/** Writing all or nothing: into a temporary file beside the target, which takes its name at the end. */
import { randomBytes } from "node:crypto"
import {
  closeSync,
  fchmodSync,
  fchownSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  type Stats,
  writeSync,
} from "node:fs"
import { basename, dirname, join } from "node:path"

/** Removed where the command is interrupted; a kill leaves them, under names that nothing else has. */
const open = new Set<TemporaryFile>()

export class TemporaryFile {
  readonly path: string
  readonly #target: string
  readonly #before: Stats | undefined
  #handle: number | undefined
  /** The file is being written over: the temporary file has the only whole text. */
  isNeeded = false

  /** `before`: the regular file that has the target's name now. */
  constructor(target: string, before: Stats | undefined) {
    this.#target = target
    this.#before = before
    this.path = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString("hex")}.tmp`)
    this.#handle = openSync(this.path, "wx")
    open.add(this)
    if (open.size === 1) for (const signal of SIGNALS) process.on(signal, interrupted)
  }

  get #opened(): number {
    if (this.#handle === undefined) throw new Error(`${this.path} is closed`)
    return this.#handle
  }

  write(content: string | Uint8Array): void {
    writeAll(this.#opened, typeof content === "string" ? Buffer.from(content) : content)
  }

  /** The temporary file takes the name; whoever loses power now has the old text or the new one, whole. */
  commit(): void {
    const handle = this.#opened
    const isOwned = this.#before === undefined || takesAfter(handle, this.#before)
    fsyncSync(handle)
    if (isOwned) renameSync(this.path, this.#target)
    else {
      this.isNeeded = true
      overwrite(this.#target, readFileSync(this.path))
      this.isNeeded = false
    }
    this.discard()
    syncFolder(dirname(this.#target))
  }

  /** Without a trace, unless it is needed. */
  discard(): void {
    if (this.#handle === undefined) return
    closeSync(this.#handle)
    this.#handle = undefined
    if (!this.isNeeded) rmSync(this.path, { force: true })
    open.delete(this)
    if (open.size === 0) for (const signal of SIGNALS) process.off(signal, interrupted)
  }
}

const SIGNALS = ["SIGINT", "SIGTERM", "SIGHUP"] as const

function interrupted(signal: NodeJS.Signals): void {
  for (const temporary of open) temporary.discard()
  // Now nobody listens, and the process ends as it would have.
  process.kill(process.pid, signal)
}

/** A text may be longer than one call takes. */
export function writeAll(handle: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; ) at += writeSync(handle, bytes, at, bytes.length - at)
}

/** Owner, group and mode as they were; false where the owner can't be kept that way. */
function takesAfter(handle: number, before: Stats): boolean {
  const now = fstatSync(handle)
  if (now.uid !== before.uid || now.gid !== before.gid)
    try {
      fchownSync(handle, before.uid, before.gid)
    } catch {
      return false
    }
  fchmodSync(handle, before.mode & 0o7777)
  return true
}

/** Somebody else's file, which we may write: it stays theirs. The temporary file is there until all of it is written. */
function overwrite(target: string, bytes: Uint8Array): void {
  const handle = openSync(target, "r+")
  try {
    writeAll(handle, bytes)
    ftruncateSync(handle, bytes.length)
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}

/** A new name is lasting only once its folder is written; where folders can't be opened, they need not be. */
function syncFolder(folder: string): void {
  let handle: number | undefined
  try {
    handle = openSync(folder, "r")
    fsyncSync(handle)
  } catch {
    return
  } finally {
    if (handle !== undefined) closeSync(handle)
  }
}
