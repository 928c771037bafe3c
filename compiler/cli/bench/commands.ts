/** What can be typed besides an answer. */

import { namesOf, readsOf } from "../../cases/record/graph-lookup.ts"
import type { Act, Graph, GraphReading, Session } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import { amountIn } from "../../ship/sheets/terms.ts"
import type { TypedNumber } from "../../wording/typed-number.ts"
import type { Style } from "../io/terminal.ts"
import type { OwnerTalk } from "./owner-limit.ts"
import { parseAct } from "./parse-act.ts"
import { valueTyped } from "./read-typed.ts"
import { candidates, HELP, outlookText, standing, stepsText, whyText } from "./status-text.ts"

/** What a command does: prints lines, says what is wrong with it, changes the job, or stops. */
export interface Done {
  readonly lines?: readonly string[]
  readonly problem?: string
  readonly change?: () => Session
  readonly stop?: true
}

export class Commands {
  readonly #owner: OwnerTalk
  readonly #graph: Graph
  readonly #paint: Style
  /** Minutes that the step at hand took, if they were said. */
  took: number | undefined

  constructor(graph: Graph, paint: Style, owner: OwnerTalk) {
    this.#owner = owner
    this.#graph = graph
    this.#paint = paint
  }

  /** Undefined where the text isn't a command. */
  run(text: string, session: Session): Done | undefined {
    const [word = "", ...rest] = text.split(/\s+/)
    switch (word.toLowerCase()) {
      case "help":
      case "?":
        return { lines: HELP }
      case "quit":
      case "exit":
        return { stop: true }
      case "candidates":
        return { lines: candidates(session, this.#paint) }
      case "why":
        return { lines: whyText(session, this.#graph, rest[0], this.#paint) }
      case "standing":
        return { lines: standing(session) }
      case "outlook":
        return { lines: [...outlookText(session, this.#graph), ...this.#owner.outlook(session)] }
      case "steps":
        return { lines: stepsText(session, this.#graph) }
      case "took":
        return this.#minutes(rest[0])
      case "cannot":
        return this.#cannot(rest, session)
      case "undo":
        return this.#undo(rest[0], session)
      case "find":
        return this.#find(rest, session)
      case "owner":
        return this.#ownerStops(text, session)
      case "not":
        return /^not worth repairing$/i.test(text) ? this.#notWorth(session) : undefined
      case "came":
        return rest[0] === "back" ? { change: () => session.cameBack() } : undefined
      default:
        return undefined
    }
  }

  #minutes(text: string | undefined): Done {
    const minutes = Number(text)
    if (text === undefined || !(minutes >= 0 && minutes < 1e5))
      return { problem: "How many minutes? Like `took 12`." }
    this.took = minutes
    return {}
  }

  #ownerStops(text: string, session: Session): Done {
    const amount = amountIn(/^owner stops at (\S+)$/i.exec(text)?.[1] ?? "")
    if (amount === undefined) return { problem: "At how much? Like `owner stops at 120`." }
    this.#owner.terms = { ...this.#owner.terms, ownerStopsAt: amount }
    return { change: () => session }
  }

  #notWorth(session: Session): Done {
    const change = () => {
      const ended = session.find({ handOver: true }, "done")
      this.#owner.terms = { ...this.#owner.terms, notWorthRepairing: true }
      return ended
    }
    return { change }
  }

  #cannot(words: readonly string[], session: Session): Done {
    const { next } = session
    const act = words.length > 0 ? parseAct(this.#graph, words)?.act : "act" in next ? next.act : undefined
    if (act === undefined)
      return {
        problem: words.length > 0 ? this.#unknown(words) : "There is no step here that could be left out.",
      }
    return { change: () => session.cannot(act) }
  }

  #undo(text: string | undefined, session: Session): Done {
    const { log } = session
    const step = text === undefined ? log.length : Number(text)
    if (log.length === 0) return { problem: "Nothing has been found yet." }
    if (!Number.isInteger(step) || step < 1 || step > log.length)
      return { problem: `There is no step \`${text}\`: they go from 1 to ${log.length}.` }
    return { change: () => session.undo(step - 1) }
  }

  #find(words: readonly string[], session: Session): Done {
    if (words.length === 0) return { problem: "What was found, and on what? Like `find glow no`." }
    const typed = parseAct(this.#graph, words)
    if (typed === undefined) return { problem: this.#unknown(words) }
    const minutes = this.took === undefined ? {} : { minutes: this.took }
    const [, word, how] = /^(stays) (left in|put back)$/i.exec(typed.found) ?? []
    const beside = { ...minutes, ...(how === undefined ? {} : { leftIn: how.toLowerCase() === "left in" }) }
    const isSure = "keep" in typed.act || "takeOut" in typed.act || "handOver" in typed.act
    const value = this.#value(typed.act, word ?? typed.found)
    if ("problem" in value) return value
    const found = value.said
    if (found === "" && !isSure)
      return { problem: "What was found? Like `find glow no` or `find try_panel stays`." }
    return { change: () => session.find(typed.act, found === "" ? "done" : found, beside) }
  }

  /** What was found on an act: `gone` and the like, or a value of the one reading that it takes. */
  #value(act: Act, typed: string): TypedNumber {
    const [reading, ...others] = this.#readingsOf(act)
    if (reading === undefined) return { said: typed.toLowerCase() }
    return typed === "" || others.length > 0 ? { said: typed } : valueTyped(reading, typed)
  }

  #readingsOf(act: Act): readonly GraphReading[] {
    const { readings } = this.#graph
    if ("reading" in act) return readings.filter(({ name }) => name === act.reading)
    const test = "test" in act ? namesOf(this.#graph).tests.get(act.test) : undefined
    const reads = test === undefined ? undefined : readsOf(this.#graph, test)
    return (reads ?? []).map((reading) => at(readings, reading))
  }

  #unknown(words: readonly string[]): string {
    return `\`${words.join(" ")}\` names nothing that can be done here; steps lists what can.`
  }
}
