/** Questions and answers line by line, with a person at a terminal or a pipe. */
import { createInterface, type Interface } from "node:readline"
import { visible } from "../../diagnostics/escape.ts"

/** How a dialog talks with somebody. */
export type Talk = Pick<Lines, "say" | "ask">

/** No answer is longer; what follows on the line is dropped. */
const LONGEST_LINE = 500

export class Lines {
  readonly #reader: Interface | undefined
  readonly #next: AsyncIterator<string>
  readonly #output: NodeJS.WriteStream

  constructor(output: NodeJS.WriteStream) {
    this.#output = output
    const isTerminal = process.stdin.isTTY === true && output.isTTY === true
    this.#reader = isTerminal ? createInterface({ input: process.stdin, output, terminal: true }) : undefined
    this.#next = this.#reader ? this.#reader[Symbol.asyncIterator]() : pipedLines()
  }

  say(...lines: string[]): void {
    this.#output.write(`${lines.join("\n")}\n`)
  }

  /** The answer, trimmed; undefined at the end of the input. */
  async ask(prompt: string): Promise<string | undefined> {
    if (this.#reader) {
      this.#reader.setPrompt(prompt)
      this.#reader.prompt()
    } else this.#output.write(prompt)
    const { value, done } = await this.#next.next()
    if (done) {
      this.#output.write("\n")
      return undefined
    }
    const line = value.slice(0, LONGEST_LINE)
    // A pipe doesn't echo what comes from it, and the transcript would lack the answers.
    if (process.stdin.isTTY !== true) this.#output.write(`${visible(line)}\n`)
    return line.trim()
  }

  close(): void {
    this.#reader?.close()
    // A pipe whose other end stays open would keep the process going.
    process.stdin.destroy()
  }
}

/** The beginnings of the lines that come by a pipe, which may be of any length: no more than that is kept of one. */
async function* pipedLines(): AsyncGenerator<string> {
  process.stdin.setEncoding("utf8")
  let line = ""
  for await (const chunk of process.stdin as AsyncIterable<string>) {
    const [first = "", ...others] = chunk.split("\n")
    line = (line + first).slice(0, LONGEST_LINE)
    for (const other of others) {
      yield line.replace(/\r$/, "")
      line = other.slice(0, LONGEST_LINE)
    }
  }
  if (line !== "") yield line
}
