/** A file of recorded cases that a job is going to be added to. */
import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readSync,
  rmSync,
} from "node:fs"
import { displayName, writeError } from "./files.ts"
import { Output } from "./output.ts"
import { writeAll } from "./temporary-file.ts"
import { UserError } from "./user-error.ts"

/** The first record of a file of cases is not longer. */
const LONGEST = 1 << 20

/** Opened before the job begins, so that a file that can't be written is said before the work is done. */
export class CaseLog {
  readonly #path: string
  readonly #handle: number
  readonly #isNew: boolean

  /** @throws UserError where the file can't be written, or has something else than recorded cases in it */
  constructor(path: string) {
    this.#path = path
    // Adding to a file destroys nothing in it.
    new Output(path, { kind: "cases", mayReplace: () => true })
    try {
      this.#isNew = !existsSync(path)
      this.#handle = openSync(path, "a+")
    } catch (error) {
      throw writeError(path, error)
    }
    const first = firstLine(this.#handle)
    if (fstatSync(this.#handle).isFile() && first !== "" && !isCase(first)) {
      this.close()
      throw new UserError(
        `${displayName(path)} has something else than recorded cases in it.`,
        "Name a file of cases, or a new one.",
      )
    }
  }

  /** Whole or not at all; a last line without a line break gets one first. @throws UserError */
  append(line: string): void {
    const { size } = fstatSync(this.#handle)
    try {
      const last = Buffer.alloc(1)
      const isCut = size > 0 && readSync(this.#handle, last, 0, 1, size - 1) === 1 && last[0] !== 10
      writeAll(this.#handle, Buffer.from(`${isCut ? "\n" : ""}${line}\n`))
      if (fstatSync(this.#handle).isFile()) fsyncSync(this.#handle)
    } catch (error) {
      if (fstatSync(this.#handle).isFile()) ftruncateSync(this.#handle, size)
      throw writeError(this.#path, error)
    }
  }

  /** Nothing is left of a file that was made here and has nothing in it. */
  close(): void {
    const stat = fstatSync(this.#handle)
    closeSync(this.#handle)
    if (this.#isNew && stat.isFile() && stat.size === 0) rmSync(this.#path, { force: true })
  }
}

function firstLine(handle: number): string {
  if (!fstatSync(handle).isFile()) return ""
  const bytes = Buffer.alloc(LONGEST)
  const read = readSync(handle, bytes, 0, LONGEST, 0)
  return (
    bytes
      .toString("utf8", 0, read)
      .split("\n")
      .find((line) => line.trim() !== "") ?? ""
  ).replace(/^\ufeff/, "")
}

function isCase(line: string): boolean {
  try {
    const json = JSON.parse(line) as { id?: unknown; steps?: unknown; format?: unknown } | null
    return typeof json?.id === "string" && json.format === undefined
  } catch {
    return false
  }
}
