/** Questions and answers line by line, with a person at a terminal or a pipe. */
import { createInterface, type Interface } from "node:readline"
import { visible } from "../../diagnostics/escape.ts"

export class Lines {
  readonly #reader: Interface
  readonly #next: AsyncIterator<string>
  readonly #output: NodeJS.WriteStream

  constructor(output: NodeJS.WriteStream) {
    this.#output = output
    this.#reader = createInterface({
      input: process.stdin,
      output,
      terminal: process.stdin.isTTY === true && output.isTTY === true,
    })
    this.#next = this.#reader[Symbol.asyncIterator]()
  }

  say(...lines: string[]): void {
    this.#output.write(`${lines.join("\n")}\n`)
  }

  /** The answer, trimmed; undefined at the end of the input. */
  async ask(prompt: string): Promise<string | undefined> {
    this.#reader.setPrompt(prompt)
    this.#reader.prompt()
    const { value, done } = await this.#next.next()
    if (done) {
      this.#output.write("\n")
      return undefined
    }
    // A pipe doesn't echo what comes from it, and the transcript would lack the answers.
    if (process.stdin.isTTY !== true) this.#output.write(`${visible(value)}\n`)
    return value.trim()
  }

  close(): void {
    this.#reader.close()
  }
}
