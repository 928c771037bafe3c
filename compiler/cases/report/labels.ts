/** Indexes of a graph said in the names that the author gave. */
import type { Graph, GraphEdge } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import type { Blame } from "../replay/blame.ts"
import { type Ending, likeliest } from "../replay/judge.ts"
import { askers } from "../replay/spending.ts"
import type { Walk } from "../replay/walk.ts"
import type { Mistake, Noted } from "./report.ts"

export interface Words {
  /** The test that asks a told question, by reading. */
  readonly told: ReadonlyMap<number, number>
  mistake(record: Case, fault: number, blame: Blame, onWalk: boolean): Mistake
  noted(record: Case, ending: Ending, asked: Walk["open"]): Noted
}

export function words(graph: Graph): Words {
  return {
    told: askers(graph),
    mistake: (record, fault, blame, onWalk) => ({
      id: record.id,
      line: record.line,
      cameBack: record.cameBack,
      fault: graph.faults[fault]!.name,
      ...causeText(graph, blame),
      found: foundText(graph, record, blame),
      onWalk,
    }),
    noted: (record, ending, asked) => ({
      id: record.id,
      line: record.line,
      cameBack: record.cameBack,
      fault: record.truth.known === "unlisted" ? record.truth.name : faultName(graph, record),
      ending: ending.kind === "verdict" ? (ending.mends ? "right" : "wrong") : ending.kind,
      says: endingText(graph, ending, asked),
    }),
  }
}

function faultName(graph: Graph, record: Case): string {
  return record.truth.known === "listed" ? graph.faults[record.truth.fault]!.name : ""
}

/** A step and what came of it: `meter_rail`, `rail is 22.8 to 25.2 V`. */
export function stepText(
  graph: Graph,
  test: number,
  putBack: boolean,
  cells: GraphEdge["cells"],
): { step: string; found: string } {
  const step = putBack ? `put back after \`${graph.tests[test]!.name}\`` : `\`${graph.tests[test]!.name}\``
  if (typeof cells === "string") return { step, found: lookText(graph, cells) }
  const reads = graph.model.tests[test]!.reads ?? []
  return { step, found: cells.map((cell, i) => cellText(graph, reads[i]!, cell)).join(", ") }
}

export function cellText(graph: Graph, reading: number, cell: number): string {
  return `\`${graph.readings[reading]!.name}\` is ${graph.readings[reading]!.cells[cell]!.label}`
}

function lookText(graph: Graph, found: "gone" | "stays"): string {
  return `\`${graph.complaint.name}\` ${found === "gone" ? "is gone" : "stays"}`
}

function causeText(graph: Graph, { cause }: Blame): Pick<Mistake, "cause" | "name" | "because" | "at"> {
  if (cause.kind !== "rule")
    return {
      cause: cause.kind,
      ...(cause.kind === "shows" ? { name: graph.readings[cause.reading]!.name } : {}),
    }
  const { name, because, line } = graph.rules[cause.rule]!
  return {
    cause: "rule",
    at: line,
    ...(name === undefined ? {} : { name }),
    ...(because === undefined ? {} : { because }),
  }
}

function foundText(graph: Graph, record: Case, { cause, step }: Blame): string {
  if (cause.kind === "shows") return cellText(graph, cause.reading, cause.cell)
  if (cause.kind === "look") {
    const text = stepText(graph, cause.test, cause.putBack, cause.found)
    return `${text.found} with ${text.step}`
  }
  const found = record.steps[step]?.found
  // A rule is set off by the last of its findings; the others are in the rule itself.
  const last = typeof found === "object" ? found : record.told
  return last.map(({ reading, cell }) => cellText(graph, reading, cell)).join(", ")
}

function endingText(graph: Graph, ending: Ending, asked: Walk["open"]): string {
  if (ending.kind === "open") {
    if (asked === undefined) return "asks for what the record does not have"
    const name = `\`${graph.tests[asked.test]!.name}\``
    return asked.putBack
      ? `asks to put back after ${name}, not in the record`
      : `asks for ${name}, not in the record`
  }
  const candidates = candidatesText(graph, ending.candidates)
  if (ending.kind === "verdict") return `${remedyText(graph, ending.remedy)}, ${candidates}`
  if (ending.noneFits === undefined) return `hands over, ${candidates}`
  return `hands over: what \`${graph.tests[ending.noneFits]!.name}\` found fits no listed fault`
}

export function remedyText(graph: Graph, remedy: { kind: string; place?: number }): string {
  const place = remedy.place === undefined ? "" : graph.places[remedy.place]!.name
  if (remedy.kind === "replace") return `replace \`${place}\``
  return remedy.kind === "redo" ? `redo \`${place}\`` : "nothing more to do"
}

function candidatesText(
  graph: Graph,
  candidates: readonly { readonly fault: number; readonly chance: number }[],
): string {
  const best = likeliest(candidates)
  if (best < 0) return "no candidates"
  const chance = candidates.reduce((sum, each) => sum + (each.fault === best ? each.chance : 0), 0)
  return `\`${graph.faults[best]!.name}\` ${Math.round(chance * 100)} %`
}
