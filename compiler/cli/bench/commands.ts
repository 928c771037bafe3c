/** What can be typed besides an answer. */

import { namesOf, readsOf } from "../../cases/record/graph-lookup.ts"
import type { Act, GraphReading, Session } from "../../run/index.ts"
import { at } from "../../run/lookup.ts"
import { amountIn } from "../../ship/sheets/terms.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Message } from "../../wording/message.ts"
import type { TypedNumber } from "../../wording/typed-number.ts"
import { helpText } from "./help-text.ts"
import type { OwnerTalk } from "./owner-limit.ts"
import { parseAct, type TypedAct } from "./parse-act.ts"
import { valueTyped } from "./read-typed.ts"
import type { Screen } from "./screen.ts"
import { candidates, outlookText, standing, stepsText, whyText } from "./status-text.ts"
import { inEnglish } from "./typed-phrases.ts"

/** What a command does: prints lines, says what is wrong with it, changes the job, or stops. */
export interface Done {
  readonly lines?: readonly string[]
  readonly problem?: string
  readonly change?: () => Session
  readonly stop?: true
}

export class Commands {
  readonly #screen: Screen
  readonly #owner: OwnerTalk
  /** Minutes that the step at hand took, if they were said. */
  took: number | undefined

  constructor(screen: Screen, owner: OwnerTalk) {
    this.#screen = screen
    this.#owner = owner
  }

  /** Undefined where the text isn't a command. */
  run(typed: string, session: Session): Done | undefined {
    const text = inEnglish(typed, "command", this.#screen.words)
    const [word = "", ...rest] = text.split(/\s+/)
    switch (word.toLowerCase()) {
      case "help":
      case "?":
        return { lines: helpText(this.#screen.words) }
      case "quit":
      case "exit":
        return { stop: true }
      case "candidates":
        return { lines: candidates(session, this.#screen) }
      case "why":
        return { lines: whyText(session, rest[0], this.#screen) }
      case "standing":
        return { lines: standing(session, this.#screen) }
      case "outlook":
        return { lines: [...outlookText(session, this.#screen), ...this.#owner.outlook(session)] }
      case "steps":
        return { lines: stepsText(session, this.#screen) }
      case "took":
        return this.#minutes(rest[0])
      case "cannot":
        return this.#cannot(rest.join(" "), session)
      case "undo":
        return this.#undo(rest[0], session)
      case "find":
        return this.#find(rest.join(" "), session)
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

  #problem<A>(message: Message<A>, ...args: A extends undefined ? [] : [args: A]): { problem: string } {
    return { problem: this.#screen.words.say(message, ...args) }
  }

  #minutes(text: string | undefined): Done {
    const minutes = Number(text)
    if (text === undefined || !(minutes >= 0 && minutes < 1e5)) return this.#problem(m.howManyMinutes)
    this.took = minutes
    return {}
  }

  #ownerStops(text: string, session: Session): Done {
    const amount = amountIn(/^owner stops at (\S+)$/i.exec(text)?.[1] ?? "")
    if (amount === undefined) return this.#problem(m.atHowMuch)
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

  #cannot(typed: string, session: Session): Done {
    const { graph, words } = this.#screen
    const { next } = session
    const act = typed === "" ? "act" in next && next.act : parseAct(graph, typed, words)?.act
    if (!act)
      return typed === "" ? this.#problem(m.nothingToLeaveOut) : this.#problem(m.namesNothing, { typed })
    return { change: () => session.cannot(act) }
  }

  #undo(typed: string | undefined, session: Session): Done {
    const { log } = session
    const step = typed === undefined ? log.length : Number(typed)
    if (log.length === 0) return this.#problem(m.nothingFoundYet)
    if (!Number.isInteger(step) || step < 1 || step > log.length)
      return this.#problem(m.noStepBetween, { typed: typed ?? "", last: `${log.length}` })
    return { change: () => session.undo(step - 1) }
  }

  #find(text: string, session: Session): Done {
    if (text === "") return this.#problem(m.whatWasFoundOn)
    const typed = parseAct(this.#screen.graph, text, this.#screen.words)
    if (typed === undefined) return this.#problem(m.namesNothing, { typed: text })
    const value = this.#value(typed)
    if ("problem" in value) return value
    const minutes = this.took === undefined ? {} : { minutes: this.took }
    const [, word, how] = /^(stays) (left in|put back)$/i.exec(value.said) ?? []
    const beside = { ...minutes, ...(how === undefined ? {} : { leftIn: how.toLowerCase() === "left in" }) }
    const isSure = "keep" in typed.act || "takeOut" in typed.act || "handOver" in typed.act
    const found = word ?? value.said
    if (found === "" && !isSure) return this.#problem(m.whatWasFound)
    return { change: () => session.find(typed.act, found === "" ? "done" : found, beside) }
  }

  /** What was found on an act: `gone` and the like, or a value of the one reading that it takes. */
  #value({ act, found }: TypedAct): TypedNumber {
    const { words } = this.#screen
    const [reading, ...others] = this.#readingsOf(act)
    if (reading === undefined) return { said: inEnglish(found, "answer", words).toLowerCase() }
    return found === "" || others.length > 0 ? { said: found } : valueTyped(reading, found, words)
  }

  #readingsOf(act: Act): readonly GraphReading[] {
    const { readings } = this.#screen.graph
    if ("reading" in act) return readings.filter(({ name }) => name === act.reading)
    const test = "test" in act ? namesOf(this.#screen.graph).tests.get(act.test) : undefined
    const reads = test === undefined ? undefined : readsOf(this.#screen.graph, test)
    return (reads ?? []).map((reading) => at(readings, reading))
  }
}
