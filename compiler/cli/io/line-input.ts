/** Questions and answers by the line: for a person at a terminal, or a pipe. */
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

  /** The answer without the space around it; undefined where the input has ended. */
  async ask(prompt: string): Promise<string | undefined> {
    this.#reader.setPrompt(prompt)
    this.#reader.prompt()
    const { value, done } = await this.#next.next()
    if (done) {
      this.#output.write("\n")
      return undefined
    }
    // What comes from a pipe is not seen otherwise, and the transcript would lack its half.
    if (process.stdin.isTTY !== true) this.#output.write(`${visible(value)}\n`)
    return value.trim()
  }

  close(): void {
    this.#reader.close()
  }
}
