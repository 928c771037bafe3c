/** A job walked through at the terminal: asks for the step at hand, and does what is typed. */

import {
  type ActionStep,
  type Answer,
  type Beside,
  type EndStep,
  type Graph,
  type GraphInput,
  type GraphReading,
  type HandoverStep,
  RunError,
  type Session,
  type Step,
} from "../../run/index.ts"
import { withUnit } from "../../wording/figures.ts"
import { typedNumber } from "../../wording/typed-number.ts"
import type { Lines } from "../io/line-input.ts"
import type { PicturedGraph } from "../io/load-graph.ts"
import type { PictureFiles } from "../io/picture-files.ts"
import { plain, type Style } from "../io/terminal.ts"
import { Commands } from "./commands.ts"
import type { OwnerTalk } from "./owner-limit.ts"
import { ProofRun } from "./proof-run.ts"
import { readableTyped, uniqueMatch, workedOut } from "./read-typed.ts"
import { suspicionText } from "./status-text.ts"
import { actionText, endText, handoverText, lookQuestion, opening } from "./step-text.ts"

/** How it ended: with the job over, stopped by the technician, or the input ran out. */
export type Outcome =
  | {
      readonly end: "done"
      readonly session: Session
      readonly proved: boolean
      readonly faults: readonly string[]
    }
  | { readonly end: "stopped" | "cut off"; readonly session: Session }

type Answered = Pick<Beside, "leftIn" | "taken"> & { readonly found: Answer }

export class Dialog {
  readonly #graph: Graph
  readonly #pictures: PictureFiles
  readonly #lines: Lines
  readonly #paint: Style
  readonly #commands: Commands
  readonly #owner: OwnerTalk
  readonly #onChange: (session: Session) => void
  #session: Session
  #ended: "stopped" | "cut off" | undefined

  /** `onChange` is given each session that a finding makes, so that the job can be kept. */
  constructor(
    { graph, pictures }: PicturedGraph,
    session: Session,
    lines: Lines,
    paint: Style,
    owner: OwnerTalk,
    onChange: (session: Session) => void = () => {},
  ) {
    this.#owner = owner
    this.#graph = graph
    this.#pictures = pictures
    this.#session = session
    this.#lines = lines
    this.#paint = paint
    this.#onChange = onChange
    this.#commands = new Commands(graph, paint, owner)
  }

  async run(): Promise<Outcome> {
    this.#lines.say(...opening(this.#graph, this.#session, this.#paint))
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
    this.#lines.say(
      ...actionText(step, this.#session, { graph: this.#graph, pictures: this.#pictures }, this.#paint),
    )
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
      this.#lines.say("  Enter when it is done, or find, cannot, undo …")
      return (await this.#until([""])) === undefined ? undefined : { found: "done" }
    }
    this.#lines.say(lookQuestion(step, this.#graph))
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
    const listedValues = reading.cells.flatMap((cell) => cell.values ?? [])
    const wanted =
      reading.by === undefined
        ? listedValues.join(" or ")
        : `${reading.from} to ${withUnit(reading.to ?? "", reading.unit)}`
    this.#lines.say(plain(`  ${reading.question}  ${wanted}`))
    for (;;) {
      const text = await this.#ask(listedValues)
      if (text === undefined) return undefined
      const typed = readableTyped(reading, text)
      if ("said" in typed) return typed.said
      this.#complain(typed.problem)
    }
  }

  async #workedOut(
    reading: GraphReading,
    takes: readonly GraphInput[],
    keep: (numbers: Readonly<Record<string, string>>) => void,
  ): Promise<string | undefined> {
    this.#lines.say(plain(`  ${reading.question}  worked out from:`))
    for (;;) {
      const numbers: [string, string][] = []
      for (const input of takes) {
        const number = await this.#number(input)
        if (number === undefined) return undefined
        numbers.push([input.name, number])
      }
      const taken = Object.fromEntries(numbers)
      const result = workedOut(reading, taken)
      if ("said" in result) {
        this.#lines.say(plain(`    ${reading.name} is ${result.said}.`))
        keep(taken)
        return result.said
      }
      this.#complain(result.problem)
    }
  }

  async #number({ question, unit }: GraphInput): Promise<string | undefined> {
    this.#lines.say(plain(`    ${question}  a number in ${unit}`))
    for (;;) {
      const text = await this.#ask([])
      if (text === undefined) return undefined
      const typed = typedNumber(text, unit)
      if ("said" in typed) return typed.said
      this.#complain(typed.problem)
    }
  }

  async #proofRun(step: ActionStep): Promise<{ found: Answer } | undefined> {
    const run = new ProofRun(this.#graph, this.#lines, {
      yesOrNo: () => this.#until(["yes", "no"]),
      reading: (reading) => this.#reading(reading),
    })
    if (step.proofRuns.length > 0) {
      this.#lines.say("  Enter to begin the proof run, or undo, why, candidates, find …")
      if ((await this.#until([""])) === undefined) return undefined
    }
    const holds = await run.of(step.proofRuns)
    return holds === undefined ? undefined : { found: holds ? "holds" : "fails" }
  }

  async #handOver(step: HandoverStep): Promise<void> {
    this.#lines.say(...handoverText(step, this.#session, this.#graph, this.#paint))
    this.#lines.say("  Enter to hand it over, or undo, why, candidates, find …")
    if ((await this.#until([""])) !== undefined) this.#change(() => this.#session.answer("done"))
  }

  /** What it turned out to be. */
  async #finish(step: EndStep): Promise<Outcome | undefined> {
    this.#lines.say(...endText(step, this.#paint))
    const names = this.#graph.faults.map(({ name }) => name)
    const likely = this.#session.candidates.find(({ info, present }) => info && present > 0.5)?.info?.name
    this.#lines.say(
      plain(
        `  Which fault was it? A name${likely === undefined ? "" : `, like ${likely}`}, two names, unlisted, or Enter if nobody knows.`,
      ),
    )
    for (;;) {
      const before = this.#session
      const text = await this.#ask()
      if (text === undefined || this.#session !== before) return undefined
      const faults = text.split(/[\s,]+/).filter((name) => name !== "")
      const unknown = faults.find((name) => name !== "unlisted" && !names.includes(name))
      if (unknown === undefined && faults.length <= 2) {
        const proved = step.closed && this.#graph.proofs.length > 0
        return { end: "done", session: this.#session, proved, faults: [...new Set(faults)] }
      }
      this.#complain(
        unknown === undefined
          ? "A machine has at most two faults here."
          : `There is no fault \`${unknown}\`; candidates lists them.`,
      )
    }
  }

  /** One of these answers, asked for until it comes; undefined where a command changed the job. */
  async #until(answers: readonly string[]): Promise<string | undefined> {
    const before = this.#session
    for (;;) {
      const text = await this.#ask(answers)
      if (text === undefined || this.#session !== before) return undefined
      const found = text === "" ? answers.find((each) => each === "") : uniqueMatch(answers, text)
      if (found !== undefined) return found
      if (text !== "") this.#complain(`\`${text}\` isn't an answer here; help lists what can be typed.`)
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
      this.#complain(error.message)
      return
    }
    this.#commands.took = undefined
    this.#onChange(this.#session)
    const last = this.#session.log.length > before.log.length ? this.#session.log.at(-1) : undefined
    if (last && "found" in last && last.found === "fails")
      this.#lines.say(this.#paint.warn("  The proof run failed: the job goes on."))
    this.#alarm(before)
  }

  /** Says what has become likely that was not, with the findings that speak for it. */
  #alarm(before: Session | undefined): void {
    const known = before?.suspicions ?? []
    for (const suspicion of this.#session.suspicions)
      if (!known.some(({ of }) => of === suspicion.of))
        this.#lines.say(...suspicionText(suspicion, this.#session, this.#graph, this.#paint))
    for (const line of this.#owner.alarm(this.#session)) this.#lines.say(this.#paint.warn(line))
  }

  #complain(message: string): void {
    this.#lines.say(this.#paint.bad(`  ${message}`))
  }
}
