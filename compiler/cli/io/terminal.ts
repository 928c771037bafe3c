/** Standard output is for what was asked, standard error for everything else. */
import type { WriteStream } from "node:tty"
import { visible } from "../../diagnostics/escape.ts"
import { UserError } from "./user-error.ts"

export function out(text: string): void {
  process.stdout.write(text)
}

export function err(text: string): void {
  process.stderr.write(text)
}

/** Returns when all of it has left. @throws UserError where it can't */
export async function outFlushed(text: string): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    process.stdout.write(text, (error) => (error ? reject(outputError(error)) : resolve()))
  })
}

/** What is wrong with standard output, in words. */
export function outputError({ code }: NodeJS.ErrnoException): UserError {
  const full = code === "ENOSPC" || code === "EDQUOT" || code === "EFBIG"
  return new UserError(
    full
      ? "There is no space left on the disk for standard output."
      : `Standard output can't be written (${code ?? "unknown cause"}).`,
  )
}

export function outJson(value: unknown): void {
  out(jsonText(value))
}

export function jsonText(value: unknown): string {
  // JSON escapes the control characters below the space; a terminal also obeys DEL and the C1 set.
  const text = JSON.stringify(value, undefined, 2).replace(
    /[\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, "0")}`,
  )
  return `${text}\n`
}

/** The text with its lines kept and without anything that a terminal would obey. */
export function plain(text: string): string {
  return text.split("\n").map(visible).join("\n")
}

/** NO_COLOR (no-color.org) and FORCE_COLOR decide; else colours are for terminals. */
export function hasColor(stream: Pick<WriteStream, "isTTY">): boolean {
  const { NO_COLOR, FORCE_COLOR, TERM } = process.env
  if (NO_COLOR !== undefined && NO_COLOR !== "") return false
  if (FORCE_COLOR !== undefined && FORCE_COLOR !== "") return FORCE_COLOR !== "0" && FORCE_COLOR !== "false"
  return stream.isTTY === true && TERM !== "dumb"
}

export interface Style {
  bold(text: string): string
  dim(text: string): string
  good(text: string): string
  warn(text: string): string
  bad(text: string): string
}

/** Colours, after making the text safe to print. */
export function style(color: boolean): Style {
  const paint = (code: string) => (text: string) =>
    color ? `\x1b[${code}m${plain(text)}\x1b[0m` : plain(text)
  return { bold: paint("1"), dim: paint("2"), good: paint("32"), warn: paint("1;33"), bad: paint("1;31") }
}

/** One line on a terminal that is overwritten and cleared when the work is done; silent if standard error isn't a terminal. */
export class ProgressLine {
  readonly #began = Date.now()
  #shown = false

  /** Shows nothing during the first moments, so that short work stays silent. */
  show(text: string): void {
    if (!process.stderr.isTTY || Date.now() - this.#began < 400) return
    err(`\r\x1b[2K${visible(text).slice(0, (process.stderr.columns ?? 80) - 1)}`)
    this.#shown = true
  }

  clear(): void {
    if (this.#shown) err("\r\x1b[2K")
    this.#shown = false
  }
}
