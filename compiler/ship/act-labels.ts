import type { Graph, GraphReading } from "../run/graph.ts"
import type { Act, ActionStep, Done, Entry } from "../run/index.ts"
import { type ActionKind, actionTitle, outcomeText } from "../wording/actions.ts"
import * as m from "../wording/compiled/common.ts"
import { placeLabel } from "../wording/places.ts"
import { saidText } from "../wording/ranges.ts"
import { english, type Words } from "../wording/words.ts"

/** How actions and entries of a job's log are worded at the bench: the same at the terminal and on the page. */

const PART_ACTS = ["takeOut", "putBack", "keep", "replace"] as const

export function kindOfAct(graph: Graph, act: Act): ActionKind {
  if ("test" in act) return graph.tests.find(({ name }) => name === act.test)?.kind ?? "reads"
  if ("reading" in act) return "reads"
  if ("fix" in act) return "fix"
  if ("look" in act) return "look"
  if ("close" in act) return "close"
  if ("handOver" in act) return "handover"
  for (const kind of PART_ACTS) if (kind in act) return kind
  throw new Error(`No act has the fields ${Object.keys(act).join()}`)
}

/** What to do, or what was done, in one line: a test's instruction, else the action and what it is done to. */
export function actTitle(graph: Graph, act: Act, words: Words = english): string {
  if ("test" in act) return graph.tests.find(({ name }) => name === act.test)?.instruction ?? act.test
  if ("reading" in act)
    return graph.readings.find(({ name }) => name === act.reading)?.question ?? act.reading
  if ("fix" in act)
    return actionTitle("fix", [graph.faults.find(({ name }) => name === act.fix)?.label ?? act.fix], words)
  const [place] = Object.values(act)
  return actionTitle(
    kindOfAct(graph, act),
    typeof place === "string" ? [placeLabel(graph.places, place)] : [],
    words,
  )
}

/** The readings that an action answers, in the order of its cells. */
export function readingsOf(graph: Graph, act: Act): GraphReading[] {
  if ("reading" in act) return graph.readings.filter(({ name }) => name === act.reading)
  if (!("test" in act)) return []
  const index = graph.tests.findIndex(({ name }) => name === act.test)
  return (graph.model.tests[index]?.reads ?? []).flatMap((reading) => graph.readings[reading] ?? [])
}

/** One entry of the log in words. */
export function entryText(
  graph: Graph,
  entry: Entry | undefined,
  words: Words,
): { what: string; found: string } {
  if (entry === undefined) return { what: "", found: "" }
  if ("cameBack" in entry) return { what: words.say(m.machineCameBack), found: words.say(m.secondJobBegins) }
  if ("cannot" in entry)
    return { what: actTitle(graph, entry.cannot, words), found: words.say(m.cannotBeDone) }
  const found = foundText(graph, entry, words)
  const isLeftIn = entry.leftIn && entry.found === "stays"
  return {
    what: actTitle(graph, entry.act, words),
    found: isLeftIn ? words.say(m.foundAndLeftIn, { found }) : found,
  }
}

function foundText(graph: Graph, { act, found, said = [] }: Done, words: Words): string {
  if (typeof found === "string") return outcomeText(found, words)
  const readings = readingsOf(graph, act)
  return said.map((each, i) => saidText(readings[i] ?? { cells: [] }, each, words)).join(", ")
}

/** What an action does to the machine, in sentences; empty where it only observes. */
export function effectsOf(step: ActionStep, words: Words): string[] {
  const { place, info, parts, disturbs } = step
  const part = place?.label ?? ""
  const redone = labelsOf(disturbs)
  const onTheWay = redone === "" ? [] : [words.say(m.disturbedOnTheWay, { what: redone })]
  switch (step.do) {
    case "test":
      return info?.kind === "redoes" && redone !== ""
        ? [words.say(m.doneAgain, { what: redone })]
        : [...partEffects(info?.kind, labelsOf(parts), step.leaveIn, words), ...onTheWay]
    case "takeOut":
      return [words.say(m.takeOutEffect, { part })]
    case "putBack":
      return [words.say(m.putBackEffect, { part }), ...onTheWay]
    case "keep":
      return [words.say(m.keepEffect, { part })]
    case "replace":
      return [words.say(m.replaceEffect, { part }), ...onTheWay]
    case "fix":
      return place?.kind === "setup" ? [words.say(m.workedOn, { part }), ...onTheWay] : onTheWay
    default:
      return onTheWay
  }
}

function partEffects(kind: string | undefined, parts: string, leaveIn: boolean, words: Words): string[] {
  if (kind === "swaps") return [words.say(m.swapEffect, { parts, after: leaveIn ? "leaveIn" : "other" })]
  return kind === "removes" ? [words.say(m.removeEffect, { parts })] : []
}

const labelsOf = (places: readonly { readonly label: string }[]) =>
  places.map(({ label }) => label).join(", ")
