import type { Graph, GraphReading } from "../run/graph.ts"
import type { Act, ActionStep, Entry, Found } from "../run/index.ts"
import { type ActionKind, actionTitle, outcomeText } from "../wording/actions.ts"
import { placeLabel } from "../wording/places.ts"

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
export function actTitle(graph: Graph, act: Act): string {
  if ("test" in act) return graph.tests.find(({ name }) => name === act.test)?.instruction ?? act.test
  if ("reading" in act)
    return graph.readings.find(({ name }) => name === act.reading)?.question ?? act.reading
  if ("fix" in act)
    return actionTitle("fix", [graph.faults.find(({ name }) => name === act.fix)?.label ?? act.fix])
  const [place] = Object.values(act)
  return actionTitle(
    kindOfAct(graph, act),
    typeof place === "string" ? [placeLabel(graph.places, place)] : [],
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
export function entryText(graph: Graph, entry: Entry | undefined): { what: string; found: string } {
  if (entry === undefined) return { what: "", found: "" }
  if ("cameBack" in entry) return { what: "The machine came back", found: "a second job of it begins" }
  if ("cannot" in entry) return { what: actTitle(graph, entry.cannot), found: "can't be done here" }
  const { act, found, said, leftIn } = entry
  const left = leftIn && found === "stays" ? ", known-good part left in" : ""
  return { what: actTitle(graph, act), found: `${foundText(found, said)}${left}` }
}

function foundText(found: Found, said: readonly string[] | undefined): string {
  return typeof found === "string" ? outcomeText[found] : (said?.join(", ") ?? "")
}

/** What an action does to the machine, in sentences; empty where it only observes. */
export function effectsOf(step: ActionStep): string[] {
  const { place, info, parts, disturbs } = step
  const part = place?.label ?? ""
  const redone = labelsOf(disturbs)
  const onTheWay = redone === "" ? [] : [`Disturbed on the way: ${redone}.`]
  switch (step.do) {
    case "test":
      return info?.kind === "redoes" && redone !== ""
        ? [`Done again: ${redone}.`]
        : [...partEffects(info?.kind, labelsOf(parts), step.leaveIn), ...onTheWay]
    case "takeOut":
      return [`The shop's ${part} comes out and the old one goes back in. Nothing else is touched.`]
    case "putBack":
      return [
        `The shop's ${part} comes out and the old one goes back in. If the complaint returns, the old part is bad; if not, it was something that was redone on the way.`,
        ...onTheWay,
      ]
    case "keep":
      return [`The shop's ${part} stays in the machine and goes on the bill. Nothing is touched.`]
    case "replace":
      return [`A new ${part} goes in.`, ...onTheWay]
    case "fix":
      return place?.kind === "setup" ? [`Worked on: ${part}.`, ...onTheWay] : onTheWay
    default:
      return onTheWay
  }
}

function partEffects(kind: string | undefined, parts: string, leaveIn: boolean): string[] {
  if (kind === "swaps") {
    const then = leaveIn ? "it is left in for now" : "the old one goes back"
    return [`The shop's known-good part goes in: ${parts}. If the complaint stays, ${then}.`]
  }
  return kind === "removes" ? [`Comes out for the try and goes back in after it: ${parts}.`] : []
}

const labelsOf = (places: readonly { readonly label: string }[]) =>
  places.map(({ label }) => label).join(", ")
