/** A job walked through at the terminal: asks for the step at hand, and does what is typed. */

import { withPoint } from "../../cases/table/read-row.ts"
import {
  type Answer,
  type Graph,
  type GraphReading,
  RunError,
  type Session,
  type Step,
} from "../../run/index.ts"
import { readAnswer } from "../../run/read.ts"
import type { Lines } from "../io/line-input.ts"
import { plain, type Style } from "../io/terminal.ts"
import * as screen from "./screen.ts"

/** How it ended: with a verdict or handing over, stopped by the technician, or the input ran out. */
export type Outcome =
  | { readonly end: "done"; readonly session: Session; readonly proved: boolean; readonly fault?: string }
  | { readonly end: "stopped" }
  | { readonly end: "cut off" }

type TestStep = Extract<Step, { do: "test" }>

export class Dialog {
  readonly #graph: Graph
  readonly #lines: Lines
  readonly #paint: Style
  #session: Session
  #took: number | undefined
  #ended: "stopped" | "cut off" | undefined

  constructor(graph: Graph, session: Session, lines: Lines, paint: Style) {
    this.#graph = graph
    this.#session = session
    this.#lines = lines
    this.#paint = paint
  }

  async run(): Promise<Outcome> {
    this.#lines.say(...screen.opening(this.#graph, this.#paint))
    for (;;) {
      const { next } = this.#session
      const outcome = next.do === "test" ? await this.#test(next) : await this.#finish(next)
      if (outcome !== undefined) return outcome
      if (this.#ended !== undefined) return { end: this.#ended }
    }
  }

  async #test(step: TestStep): Promise<undefined> {
    this.#lines.say(...screen.testStep(step, this.#session.log.length + 1, this.#graph, this.#paint))
    const before = this.#session
    const answer = step.reads.length === 0 ? await this.#look(step) : await this.#readings(step.reads)
    if (answer === undefined || this.#session !== before) return
    this.#change(() => this.#session.answer(answer, this.#took))
  }

  /** Undefined where a command changed the job instead. */
  async #look({ test }: TestStep): Promise<Answer | undefined> {
    const { tries = 1 } = this.#graph.model.tests[test]!
    const often = tries === 1 ? "again" : `${tries} times, it is gone only if it never shows`
    this.#lines.say(plain(`  Look for it ${often} (${this.#graph.complaint.text}): gone or stays?`))
    for (;;) {
      const text = await this.#ask()
      if (text === undefined) return undefined
      const found = only(["gone", "stays"], text)
      if (found !== undefined) return found
      this.#complain(`\`${text}\` is neither \`gone\` nor \`stays\`.`)
    }
  }

  async #readings(reads: readonly GraphReading[]): Promise<Answer | undefined> {
    const values: [string, string][] = []
    for (const reading of reads) {
      const value = await this.#reading(reading)
      if (value === undefined) return undefined
      values.push([reading.name, value])
    }
    return Object.fromEntries(values)
  }

  async #reading(reading: GraphReading): Promise<string | undefined> {
    const words = reading.cells.flatMap((cell) => cell.values ?? [])
    const wanted =
      reading.by === undefined ? words.join(" or ") : `${reading.from} to ${reading.to} ${reading.unit}`
    this.#lines.say(plain(`  ${reading.question}  ${wanted}`))
    for (;;) {
      const text = await this.#ask(words)
      if (text === undefined) return undefined
      const value = only(words, text) ?? withPoint(text)
      try {
        readAnswer({ readings: [reading] }, [0], value)
        return value
      } catch (error) {
        if (!(error instanceof RunError)) throw error
        this.#complain(error.message)
      }
    }
  }

  /** A verdict or handing over: proof run, and what it turned out to be. */
  async #finish(step: Exclude<Step, TestStep>): Promise<Outcome | undefined> {
    const before = this.#session
    if (step.do === "handover") {
      this.#lines.say(...screen.handover(step, this.#session, this.#graph, this.#paint))
      this.#lines.say("  Enter to close the job, or undo, why, candidates, find …")
      const text = await this.#until([""])
      return text === undefined || this.#session !== before
        ? undefined
        : { end: "done", session: this.#session, proved: false }
    }
    this.#lines.say(...screen.verdict(step, this.#graph, this.#paint))
    if (step.proofs.length > 0) {
      const first = step.remedy.kind === "done" ? "Now" : "Mend it, then"
      this.#lines.say(`  ${first} the proof run. Enter to begin, or undo, why, candidates, find …`)
      const text = await this.#until([""])
      if (text === undefined || this.#session !== before) return undefined
      const proved = await this.#proof(step)
      if (proved === undefined) return undefined
      if (!proved) {
        this.#lines.say(
          this.#paint.bad(
            "  It does not hold: the machine stays here. Take back the finding that was wrong, or close the job.",
          ),
        )
        return this.#close(step, false)
      }
      this.#lines.say(this.#paint.good("  All of it holds."))
    }
    return this.#close(step, step.proofs.length > 0)
  }

  /** Whether all holds; undefined where something else was typed that changed the job. */
  async #proof(step: Extract<Step, { do: "verdict" }>): Promise<boolean | undefined> {
    for (const proof of step.proofs)
      for (let n = 1; n <= proof.times; n++) {
        this.#lines.say(screen.proofText(proof, n, proof.times))
        if (proof.expects) {
          const reading = this.#graph.readings[proof.expects.reading]!
          const value = await this.#reading(reading)
          if (value === undefined) return undefined
          const { cell } = readAnswer({ readings: [reading] }, [0], value)[0]!
          if (!proof.expects.cells.includes(cell)) return false
        } else {
          this.#lines.say("  Does it hold? yes or no")
          const text = await this.#until(["yes", "no"])
          if (text === undefined) return undefined
          if (text === "no") return false
        }
      }
    return true
  }

  async #close(step: Extract<Step, { do: "verdict" }>, proved: boolean): Promise<Outcome | undefined> {
    const before = this.#session
    const names = this.#graph.faults.map(({ name }) => name)
    this.#lines.say(
      plain(
        `  Which fault was it? A name, like ${step.faults[0]?.name ?? names[0]}, or Enter if nobody knows.`,
      ),
    )
    const text = await this.#until(["", ...names])
    if (text === undefined || this.#session !== before) return undefined
    return { end: "done", session: this.#session, proved, ...(text === "" ? {} : { fault: text }) }
  }

  /** One of these words, asked for until it comes; undefined where a command changed the job. */
  async #until(words: readonly string[]): Promise<string | undefined> {
    for (;;) {
      const text = await this.#ask(words)
      if (text === undefined) return undefined
      const found = text === "" ? words.find((word) => word === "") : only(words, text)
      if (found !== undefined) return found
      if (text !== "") this.#complain(`\`${text}\` is not asked for here; help shows what is.`)
    }
  }

  /** The next line that is no command. Undefined where one changed the job, or nothing more comes. */
  async #ask(answers: readonly string[] = []): Promise<string | undefined> {
    const before = this.#session
    for (;;) {
      const text = await this.#lines.ask("> ")
      if (text === undefined) {
        this.#ended = "cut off"
        return undefined
      }
      if (answers.includes(text) || !this.#command(text)) return text
      if (this.#session !== before || this.#ended !== undefined) return undefined
    }
  }

  /** Does what a command says; false where the text is none. */
  #command(text: string): boolean {
    const [word = "", ...rest] = text.split(/\s+/)
    const { next } = this.#session
    const say = (lines: string[]) => this.#lines.say(...lines)
    switch (word.toLowerCase()) {
      case "help":
      case "?":
        say(screen.help)
        return true
      case "quit":
      case "exit":
        this.#ended = "stopped"
        return true
      case "candidates":
        say(screen.candidates(this.#session, this.#paint))
        return true
      case "why":
        say(screen.why(this.#session, rest[0], this.#paint))
        return true
      case "standing":
        say(screen.standing(this.#session, this.#paint))
        return true
      case "steps":
        say(screen.steps(this.#session, this.#graph))
        return true
      case "took":
        this.#minutes(rest[0])
        return true
      case "cannot":
        if (next.do !== "test") this.#complain("There is no step at hand that could be left out.")
        else this.#change(() => this.#session.cannot(rest[0] ?? next.name))
        return true
      case "undo":
        this.#undo(rest[0])
        return true
      case "find":
        this.#find(rest)
        return true
      default:
        return false
    }
  }

  #minutes(text: string | undefined): void {
    const minutes = Number(text)
    if (text === undefined || !(minutes >= 0 && minutes < 1e5))
      this.#complain("How many minutes? Like `took 12`.")
    else this.#took = minutes
  }

  #undo(text: string | undefined): void {
    const { log } = this.#session
    const step = text === undefined ? log.length : Number(text)
    if (log.length === 0) this.#complain("Nothing has been found yet.")
    else if (!Number.isInteger(step) || step < 1 || step > log.length)
      this.#complain(`There is no step \`${text}\`: they go from 1 to ${log.length}.`)
    else this.#change(() => this.#session.undo(step - 1))
  }

  #find([name, ...values]: string[]): void {
    const value = withPoint(values.join(" "))
    if (name === undefined || value === "")
      this.#complain("What was found, and on what? Like `find glow no`.")
    else this.#change(() => this.#session.find(name, value, this.#took))
  }

  #change(change: () => Session): void {
    try {
      this.#session = change()
      this.#took = undefined
      const doubt = screen.doubtText(this.#session, this.#paint)
      if (doubt.length > 0) this.#lines.say(...doubt)
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      this.#complain(error.message)
    }
  }

  #complain(message: string): void {
    this.#lines.say(this.#paint.bad(`  ${message}`))
  }
}

/** The one word that is this text, or begins with it. */
function only(words: readonly string[], text: string): string | undefined {
  if (words.includes(text)) return text
  if (text === "") return undefined
  const found = words.filter((word) => word.startsWith(text.toLowerCase()))
  return found.length === 1 ? found[0] : undefined
}
