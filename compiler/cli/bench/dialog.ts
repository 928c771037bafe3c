/** A job walked through at the terminal: asks for the step at hand, and does what is typed. */

import {
  type ActionStep,
  type Answer,
  type Beside,
  type EndStep,
  type GraphInput,
  type GraphReading,
  type HandoverStep,
  RunError,
  type Session,
  type Step,
} from "../../run/index.ts"
import { problemText } from "../../ship/runner-text.ts"
import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Message } from "../../wording/message.ts"
import { cellLabel } from "../../wording/ranges.ts"
import { typedNumber } from "../../wording/typed-number.ts"
import type { Words } from "../../wording/words.ts"
import type { Talk } from "../io/line-input.ts"
import { plain } from "../io/terminal.ts"
import { Commands } from "./commands.ts"
import type { OwnerTalk } from "./owner-limit.ts"
import { ProofRun } from "./proof-run.ts"
import { readableTyped, workedOut } from "./read-typed.ts"
import type { Screen } from "./screen.ts"
import { suspicionText } from "./status-text.ts"
import { actionText, endText, handoverText, lookQuestion, opening } from "./step-text.ts"
import { answerTyped, inWords } from "./typed-phrases.ts"

/** How it ended: with the job over, stopped by the technician, or the input ran out. */
export type Outcome =
  | {
      readonly end: "done"
      readonly session: Session
      readonly proved: boolean
      readonly faults: readonly string[]
    }
  | { readonly end: "stopped" | "cut off"; readonly session: Session }

/** What a fault is called that the ruleset doesn't have. */
const UNLISTED = "unlisted"

type Answered = Pick<Beside, "leftIn" | "taken"> & { readonly found: Answer }

export class Dialog {
  readonly #screen: Screen
  readonly #lines: Talk
  readonly #commands: Commands
  readonly #owner: OwnerTalk
  readonly #onChange: (session: Session) => void
  #session: Session
  #ended: "stopped" | "cut off" | undefined

  /** `onChange` is given each session that a finding makes, so that the job can be kept. */
  constructor(
    screen: Screen,
    session: Session,
    lines: Talk,
    owner: OwnerTalk,
    onChange: (session: Session) => void = () => {},
  ) {
    this.#screen = screen
    this.#session = session
    this.#lines = lines
    this.#owner = owner
    this.#onChange = onChange
    this.#commands = new Commands(screen, owner)
  }

  async run(): Promise<Outcome> {
    this.#lines.say(...opening(this.#session, this.#screen))
    this.#alarm(undefined)
    for (;;) {
      const outcome = await this.#step(this.#session.next)
      if (outcome !== undefined) return outcome
      if (this.#ended !== undefined) return { end: this.#ended, session: this.#session }
    }
  }

  async #step(step: Step): Promise<Outcome | undefined> {
    if (step.do === "handover") await this.#handOver(step)
    else if (step.do === "end") return this.#finish(step)
    else await this.#act(step)
    return undefined
  }

  async #act(step: Exclude<Step, HandoverStep | EndStep>): Promise<void> {
    this.#lines.say(...actionText(step, this.#session, this.#screen))
    const before = this.#session
    const answered = await this.#answerTo(step)
    if (answered === undefined || this.#session !== before) return
    const { found, leftIn, taken } = answered
    const took = this.#commands.took
    this.#change(() =>
      before.answer(found, {
        ...(took === undefined ? {} : { minutes: took }),
        ...(leftIn === undefined ? {} : { leftIn }),
        ...(taken === undefined ? {} : { taken }),
      }),
    )
  }

  /** Undefined where a command changed the job instead. */
  async #answerTo(step: ActionStep): Promise<Answered | undefined> {
    if (step.reads.length > 0) return this.#readings(step.reads)
    if (step.do === "close") return this.#proofRun(step)
    if (step.do === "takeOut" || step.do === "keep") {
      this.#invite(m.enterWhenDone)
      return (await this.#until([""])) === undefined ? undefined : { found: "done" }
    }
    this.#lines.say(lookQuestion(step, this.#screen))
    const isSwap = step.info?.kind === "swaps"
    const text = await this.#until(
      isSwap ? ["gone", "stays", "stays left in", "stays put back"] : ["gone", "stays"],
    )
    if (text === undefined) return undefined
    const [word = "", ...how] = text.split(" ")
    return { found: word, ...(how.length > 0 ? { leftIn: how[0] === "left" } : {}) }
  }

  async #readings(reads: readonly GraphReading[]): Promise<Answered | undefined> {
    const values: [string, string][] = []
    const taken: [string, Readonly<Record<string, string>>][] = []
    for (const reading of reads) {
      const value = await this.#reading(reading, (numbers) => taken.push([reading.name, numbers]))
      if (value === undefined) return undefined
      values.push([reading.name, value])
    }
    const found = Object.fromEntries(values)
    return taken.length === 0 ? { found } : { found, taken: Object.fromEntries(taken) }
  }

  /** `keep`: takes the numbers from which it was worked out. */
  async #reading(
    reading: GraphReading,
    keep: (numbers: Readonly<Record<string, string>>) => void = () => {},
  ): Promise<string | undefined> {
    if (reading.takes !== undefined) return this.#workedOut(reading, reading.takes, keep)
    const { words } = this.#screen
    const labels = reading.by === undefined ? reading.cells.map((cell) => cellLabel(cell, words)) : []
    this.#lines.say(plain(`  ${reading.question}  ${words.alternatives(labels)}${rangeText(reading, words)}`))
    for (;;) {
      const text = await this.#ask(labels)
      if (text === undefined) return undefined
      const typed = readableTyped(reading, text, words)
      if ("said" in typed) return typed.said
      this.#complain(typed.problem)
    }
  }

  async #workedOut(
    reading: GraphReading,
    takes: readonly GraphInput[],
    keep: (numbers: Readonly<Record<string, string>>) => void,
  ): Promise<string | undefined> {
    const { words } = this.#screen
    this.#lines.say(plain(`  ${reading.question}  ${words.say(m.workedOutFrom)}`))
    for (;;) {
      const numbers: [string, string][] = []
      for (const input of takes) {
        const number = await this.#number(input)
        if (number === undefined) return undefined
        numbers.push([input.name, number])
      }
      const taken = Object.fromEntries(numbers)
      const result = workedOut(reading, taken, words)
      if ("said" in result) {
        const value = words.digits(result.said)
        this.#lines.say(plain(`    ${words.say(m.comesTo, { name: reading.name, value })}`))
        keep(taken)
        return result.said
      }
      this.#complain(result.problem)
    }
  }

  async #number({ question, unit }: GraphInput): Promise<string | undefined> {
    const { words } = this.#screen
    this.#lines.say(plain(`    ${question}  ${words.say(m.aNumberIn, { unit })}`))
    for (;;) {
      const text = await this.#ask([])
      if (text === undefined) return undefined
      const typed = typedNumber(text, unit, words)
      if ("said" in typed) return typed.said
      this.#complain(typed.problem)
    }
  }

  async #proofRun(step: ActionStep): Promise<{ found: Answer } | undefined> {
    const run = new ProofRun(this.#screen, this.#lines, {
      yesOrNo: () => this.#until(["yes", "no"]),
      reading: (reading) => this.#reading(reading),
    })
    if (step.proofRuns.length > 0) {
      this.#invite(m.enterForProofRun)
      if ((await this.#until([""])) === undefined) return undefined
    }
    const holds = await run.of(step.proofRuns)
    return holds === undefined ? undefined : { found: holds ? "holds" : "fails" }
  }

  async #handOver(step: HandoverStep): Promise<void> {
    this.#lines.say(...handoverText(step, this.#session, this.#screen))
    this.#invite(m.enterToHandOver)
    if ((await this.#until([""])) !== undefined) this.#change(() => this.#session.answer("done"))
  }

  /** What it turned out to be. */
  async #finish(step: EndStep): Promise<Outcome | undefined> {
    const { graph, words } = this.#screen
    this.#lines.say(...endText(step, this.#screen))
    const names = graph.faults.map(({ name }) => name)
    const likely = this.#session.candidates.find(({ info, present }) => info && present > 0.5)?.info?.name
    const question =
      likely === undefined ? words.say(m.whichFault) : words.say(m.whichFaultLike, { name: likely })
    this.#lines.say(plain(`  ${question}`))
    for (;;) {
      const before = this.#session
      const text = await this.#ask()
      if (text === undefined || this.#session !== before) return undefined
      const typed = text.split(/[\s,]+/).filter((name) => name !== "")
      const faults = typed.map((name) => (name === words.say(m.typeUnlisted) ? UNLISTED : name))
      const unknown = faults.find((name) => name !== UNLISTED && !names.includes(name))
      if (unknown === undefined && faults.length <= 2) {
        const proved = step.closed && graph.proofs.length > 0
        return { end: "done", session: this.#session, proved, faults: [...new Set(faults)] }
      }
      this.#complain(
        unknown === undefined
          ? words.say(m.atMostTwoFaults)
          : words.say(m.noFaultCandidates, { name: unknown }),
      )
    }
  }

  /** What can be typed where nothing is asked. */
  #invite(message: Message): void {
    this.#lines.say(`  ${this.#screen.words.say(message)}`)
  }

  /** One of these answers, asked for until it comes; undefined where a command changed the job. */
  async #until(answers: readonly string[]): Promise<string | undefined> {
    const before = this.#session
    for (;;) {
      const text = await this.#ask(answers.map((answer) => inWords(answer, this.#screen.words)))
      if (text === undefined || this.#session !== before) return undefined
      const found =
        text === "" ? answers.find((each) => each === "") : answerTyped(answers, text, this.#screen.words)
      if (found !== undefined) return found
      if (text !== "") this.#complain(this.#screen.words.say(m.isNoAnswer, { typed: text }))
    }
  }

  /** The next line that isn't a command. Undefined where a command changed the job, or the input ended. */
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
    const done = this.#commands.run(text, this.#session)
    if (done === undefined) return false
    if (done.stop) this.#ended = "stopped"
    if (done.problem !== undefined) this.#complain(done.problem)
    if (done.lines) this.#lines.say(...done.lines)
    if (done.change) this.#change(done.change)
    return true
  }

  #change(change: () => Session): void {
    const before = this.#session
    try {
      this.#session = change()
    } catch (error) {
      if (!(error instanceof RunError)) throw error
      this.#complain(problemText(error, this.#screen.words))
      return
    }
    const { words, paint } = this.#screen
    this.#commands.took = undefined
    this.#onChange(this.#session)
    const last = this.#session.log.length > before.log.length ? this.#session.log.at(-1) : undefined
    if (last && "found" in last && last.found === "fails")
      this.#lines.say(paint.warn(`  ${words.say(m.proofRunFailedGoOn)}`))
    this.#alarm(before)
  }

  /** Says what has become likely that was not, with the findings that speak for it. */
  #alarm(before: Session | undefined): void {
    const known = before?.suspicions ?? []
    for (const suspicion of this.#session.suspicions)
      if (!known.some(({ of }) => of === suspicion.of))
        this.#lines.say(...suspicionText(suspicion, this.#session, this.#screen))
    for (const line of this.#owner.alarm(this.#session)) this.#lines.say(this.#screen.paint.warn(line))
  }

  #complain(message: string): void {
    this.#lines.say(this.#screen.paint.bad(`  ${message}`))
  }
}

/** The least and the most that a quantity can be; nothing for a choice. */
function rangeText({ from = 0, to = 0, by, unit }: GraphReading, words: Words): string {
  if (by === undefined) return ""
  return words.say(common.valuesBetween, {
    low: words.withUnit(from, undefined),
    high: words.withUnit(to, unit),
  })
}
