/** Reading and writing files, with a message for everything that can go wrong. */

import { once } from "node:events"
import {
  closeSync,
  fstatSync,
  openSync,
  readdirSync,
  readFileSync,
  readSync,
  realpathSync,
  statSync,
} from "node:fs"
import { basename, dirname, extname, join } from "node:path"
import { gunzipSync } from "node:zlib"
import { excerpt } from "../../diagnostics/escape.ts"
import { closest } from "../../diagnostics/suggest.ts"
import { at } from "../../run/lookup.ts"
import { noteInput, noteLookedFor } from "./known-files.ts"
import { UserError } from "./user-error.ts"

const MiB = 1024 * 1024

/** Rulesets written by hand have some hundred kB; a larger file isn't one. */
export const LARGEST_SOURCE = 16 * MiB
export const LARGEST_GRAPH = 256 * MiB
/** What a text in memory can hold. */
export const LARGEST_CASES = 256 * MiB

const STANDARD_INPUT = 0

/** The text of a file, `-` for standard input. @throws UserError if there is none, it is too large, or isn't UTF-8. */
export function readText(path: string, largest: number): string {
  const bytes = readBytes(path, largest)
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes)
  } catch {
    throw new UserError(
      `${displayName(path)} isn't UTF-8: byte ${badByte(bytes) + 1} isn't part of a character.`,
      "Save it as UTF-8 in the editor, or convert it.",
    )
  }
}

export function displayName(path: string): string {
  return path === "-" ? "Standard input" : excerpt(path)
}

/** `/` between folders, as the compiler wants it. */
export function withSlashes(path: string): string {
  return process.platform === "win32" ? path.replaceAll("\\", "/") : path
}

function readBytes(path: string, largest: number): Uint8Array {
  const bytes = readStart(path, largest + 1)
  if (bytes.length > largest)
    throw new UserError(
      `${displayName(path)} is larger than ${largest / MiB} MiB.`,
      "Is it the right file? If so, split it into several.",
    )
  if (!isCompressed(path)) return bytes
  try {
    return gunzipSync(bytes, { maxOutputLength: largest })
  } catch (error) {
    throw readError(path, error)
  }
}

/** The bytes of a file, `-` for standard input; of a longer one the first `most`. @throws UserError */
export function readStart(path: string, most: number): Uint8Array {
  let handle: number | undefined
  noteLookedFor(path)
  try {
    refusePipe(path)
    handle = path === "-" ? STANDARD_INPUT : openSync(path, "r")
    const stat = fstatSync(handle)
    if (stat.isDirectory()) throw new UserError(`${displayName(path)} is a folder.`, "Name a file in it.")
    noteInput(handle)
    const chunks: Uint8Array[] = []
    for (let size = 0; size < most; ) {
      const chunk = new Uint8Array(Math.min(MiB, most - size, Math.max(65_536, stat.size + 1)))
      const read = readChunk(handle, chunk)
      if (read === 0) break
      size += read
      chunks.push(chunk.subarray(0, read))
    }
    return Buffer.concat(chunks)
  } catch (error) {
    throw error instanceof UserError ? error : readError(path, error)
  } finally {
    if (handle !== undefined && handle !== STANDARD_INPUT) closeSync(handle)
  }
}

/** Opening one that nobody writes to would wait for ever. What the shell makes for `<(…)` isn't one by its name. */
export function refusePipe(path: string): void {
  if (path === "-") return
  let real = path
  try {
    real = realpathSync(path)
  } catch {
    return
  }
  if (statSync(real, { throwIfNoEntry: false })?.isFIFO())
    throw new UserError(
      `${displayName(path)} is a named pipe.`,
      "Name a file, or - and give the text on standard input.",
    )
}

/** For a file that another program will read. @throws UserError as reading it here would */
export function checkReadable(path: string): void {
  let handle: number | undefined
  try {
    refusePipe(path)
    handle = openSync(path, "r")
    readChunk(handle, new Uint8Array(1))
    noteInput(handle)
  } catch (error) {
    throw error instanceof UserError ? error : readError(path, error)
  } finally {
    if (handle !== undefined) closeSync(handle)
  }
}

/** A terminal or pipe that has nothing yet says so: then we wait. */
function readChunk(handle: number, chunk: Uint8Array): number {
  for (;;) {
    try {
      return readSync(handle, chunk, 0, chunk.length, null)
    } catch (error) {
      const code = codeOf(error)
      if (code === "EOF") return 0
      if (code !== "EAGAIN") throw error
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20)
    }
  }
}

/** By its name (RFC 1952). */
export function isCompressed(path: string): boolean {
  return /\.gz$/i.test(path)
}

function codeOf(error: unknown): string | undefined {
  return (error as { code?: string } | undefined)?.code
}

export function readError(path: string, error: unknown): UserError {
  const name = displayName(path)
  switch (codeOf(error)) {
    case "ENOENT":
    case "ENOTDIR":
      return new UserError(`There is no file ${name}.`, similarFile(path), "no-such-file")
    case "EISDIR":
      return new UserError(`${name} is a folder.`, "Name a file in it.")
    case "EACCES":
    case "EPERM":
      return new UserError(`${name} can't be read: permission denied.`, "Ask for permission to read it.")
    case "Z_DATA_ERROR":
    case "Z_BUF_ERROR":
      return new UserError(`${name} isn't what its name says, or it is damaged: gzip can't unpack it.`)
    case "ERR_BUFFER_TOO_LARGE":
      return new UserError(`${name} is too large once it is unpacked.`)
    case "ELOOP":
      return new UserError(`${name} is a symbolic link that leads back to itself.`)
    case "ENAMETOOLONG":
    case "ERR_INVALID_ARG_VALUE":
      return new UserError(`${name} can't be the name of a file.`)
    default:
      return new UserError(`${name} can't be read (${codeOf(error) ?? "unknown cause"}).`)
  }
}

/** A hint: a file of the same kind in that folder, with a similar name or the same beginning. */
function similarFile(path: string): string {
  const [kind, stem] = [extname(path), at(basename(path).split(".", 1), 0)]
  let names: string[] = []
  try {
    names = readdirSync(dirname(path))
      .filter((name) => extname(name) === kind)
      .sort()
  } catch {
    return `There is no folder ${excerpt(dirname(path))}. The path is relative to the current folder.`
  }
  const near = closest(basename(path), names) ?? names.find((name) => stem !== "" && name.startsWith(stem))
  return near === undefined
    ? "Check the path. It is relative to the current folder."
    : `Did you mean ${excerpt(join(dirname(path), near))}?`
}

/** Offset of the first byte that isn't UTF-8 (RFC 3629), bisected with the decoder, which knows all the rules. */
function badByte(bytes: Uint8Array): number {
  let good = 0
  let bad = bytes.length
  const decodes = (length: number) => {
    try {
      // As a stream, so that a character cut in two at the end isn't an error.
      new TextDecoder("utf-8", { fatal: true }).decode(bytes.subarray(0, length), { stream: true })
      return true
    } catch {
      return false
    }
  }
  if (decodes(bad)) return bad - 1
  while (bad - good > 1) {
    const middle = (good + bad) >> 1
    if (decodes(middle)) good = middle
    else bad = middle
  }
  return bad - 1
}

/** The text of a file; empty if it doesn't exist. It may be written afterwards. */
export function readIfThere(path: string, largest: number): string {
  const stat = statSync(path, { throwIfNoEntry: false })
  if (stat === undefined) return ""
  if (!stat.isFile() || stat.size > largest)
    throw new UserError(`${displayName(path)} can't be what is meant.`)
  try {
    return readFileSync(path, "utf8")
  } catch (error) {
    throw readError(path, error)
  }
}

export function writeError(path: string, error: unknown): UserError {
  const name = displayName(path)
  switch (codeOf(error)) {
    case "ENOENT":
    case "ENOTDIR":
      return new UserError(`The folder of ${name} doesn't exist.`, "Make it first, or write somewhere else.")
    case "EISDIR":
      return new UserError(`${name} is a folder.`, "Name a file to write.")
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return new UserError(
        `${name} can't be written: permission denied.`,
        "Write somewhere else, or ask for permission.",
      )
    case "ENOSPC":
    case "EDQUOT":
    case "EFBIG":
      return new UserError(`There is no space left on the disk for ${name}.`, "Make room, and try again.")
    default:
      return new UserError(`${name} can't be written (${codeOf(error) ?? "unknown cause"}).`)
  }
}

/** Writes to a stream, and waits if it has more than it can pass on. */
export async function writeTo(stream: NodeJS.WritableStream, text: string): Promise<void> {
  if (text !== "" && !stream.write(text)) await once(stream, "drain")
}
