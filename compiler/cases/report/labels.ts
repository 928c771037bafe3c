/** Indexes of a graph in the names that the author gave. */

import type { Candidate, Found, Graph } from "../../run/index.ts"
import type { PlaceIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { money, roughPercent } from "../../wording/figures.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Case, CaseAction, Confirmed, Finding } from "../record/case.ts"
import type { Blame } from "../replay/blame.ts"
import { comesBack, type Ending, isBoughtInVain, isRight, likeliest } from "../replay/judge.ts"
import type { Walk } from "../replay/walk.ts"
import type { EndingName, Mistake, NotedCase } from "./report.ts"

export class Labels {
  readonly graph: Graph

  constructor(graph: Graph) {
    this.graph = graph
  }

  mistake(record: Case, blame: Blame, onWalk: boolean): Mistake {
    const { id, line, cameBack, confirmed } = record
    const fault = this.confirmed(confirmed)
    return { id, line, cameBack, fault, ...this.#cause(blame), found: this.#found(blame), onWalk }
  }

  noted(record: Case, { ending, open, spent }: Walk): NotedCase {
    const { id, line, cameBack, confirmed } = record
    return {
      id,
      line,
      cameBack,
      fault: this.confirmed(confirmed),
      ending: endingName(ending),
      isRight: isRight(ending),
      says: [...this.#bought(confirmed, spent.bought), this.#ending(ending, open)].join("; "),
    }
  }

  confirmed(confirmed: Confirmed): string {
    if (confirmed.kind === "faults")
      return confirmed.faults.map((fault) => at(this.graph.faults, fault).name).join(" + ")
    return confirmed.kind === "unlisted" ? confirmed.name : ""
  }

  /** What is done, with the author's names: `meter_rail`, `replace lid`. */
  action(action: CaseAction): string {
    const { tests, places, faults } = this.graph
    switch (action.do) {
      case "test":
        return backticked(at(tests, action.test).name)
      case "takeOut":
        return `take out the known-good ${backticked(at(places, action.part).name)}`
      case "putBack":
        return `put back ${backticked(at(places, action.part).name)}`
      case "keep":
        return `keep the known-good ${backticked(at(places, action.part).name)}`
      case "replace":
        return `replace ${backticked(at(places, action.part).name)}`
      case "fix":
        return `fix ${backticked(at(faults, action.fault).name)}`
      case "look":
        return "look again"
      case "close":
        return "the proof run"
      case "read":
        return "a reading"
      default:
        return "hand over"
    }
  }

  /** A step and what came of it: `meter_rail`, `rail is 22.8 to 25.2 V`. */
  outcome(action: CaseAction, found: Found): { readonly step: string; readonly found: string } {
    const step = this.action(action)
    if (typeof found === "string") return { step, found: this.#word(found) }
    const reads = action.do === "test" ? (at(this.graph.model.tests, action.test).reads ?? []) : []
    return { step, found: this.#findings(found.map((cell, i) => ({ reading: at(reads, i), cell }))) }
  }

  #findings(findings: readonly Finding[]): string {
    const { readings } = this.graph
    return findings
      .map(({ reading, cell }) => {
        const { name, cells } = at(readings, reading)
        return `${backticked(name)} is ${at(cells, cell).label}`
      })
      .join(", ")
  }

  #word(found: string): string {
    const complaint = backticked(this.graph.complaint.name)
    if (found === "gone") return `${complaint} is gone`
    if (found === "stays") return `${complaint} stays`
    if (found === "holds") return "the proof run is passed"
    return found === "fails" ? "the proof run fails" : "it is done"
  }

  #cause({ cause }: Blame): Pick<Mistake, "cause" | "chance" | "name" | "because" | "at"> {
    if (cause.kind !== "rule") return { cause: cause.kind, chance: 1 }
    const { name, because, line } = at(this.graph.rules, cause.rule)
    return {
      cause: "rule",
      chance: cause.chance,
      at: line,
      ...(name === undefined ? {} : { name }),
      ...(because === undefined ? {} : { because }),
    }
  }

  #found({ cause, findings }: Blame): string {
    if (cause.kind !== "look") return this.#findings(findings)
    const said = this.#word(cause.found)
    return cause.action.do === "close" ? said : `${said} after ${this.action(cause.action)}`
  }

  #bought(confirmed: Confirmed, bought: readonly PlaceIndex[]): string[] {
    const vain = bought.filter((part) => isBoughtInVain(this.graph, confirmed, part))
    if (vain.length === 0) return []
    const { places, money: currency } = this.graph
    const price = vain.reduce((sum, part) => sum + (at(places, part).price ?? 0), 0)
    const names = listed(vain.map((part) => backticked(at(places, part).name)))
    return [`buys ${names} in vain (${money(price, currency)})`]
  }

  #ending(ending: Ending, open: Walk["open"]): string {
    if (ending.kind === "open")
      return open
        ? `asks for ${this.action(open.action)}, which is not in the record`
        : "asks for something that isn't in the record"
    if (ending.kind === "closed")
      return ending.fixed ? "closes the job" : "closes the job with the fault still in the machine"
    if (ending.noneFits)
      return `hands over: what came of ${this.action(ending.noneFits)} fits nothing that can be wrong`
    return `hands over, ${this.#candidates(ending.candidates)}`
  }

  #candidates(candidates: readonly Candidate[]): string {
    const best = likeliest(candidates)
    if (best === undefined) return "no candidates"
    const name =
      best.fault === undefined ? "something not listed" : backticked(at(this.graph.faults, best.fault).name)
    return `${name} ${roughPercent(best.present)}`
  }
}

export function endingName(ending: Ending): EndingName {
  if (ending.kind === "closed") return comesBack(ending) ? "comesBack" : "fixed"
  return ending.kind === "handover" ? "handedOver" : "open"
}
