import type { Graph } from "../../../compiler/run/graph.ts"
import type { Act, ActionStep, Entry, Session } from "../../../compiler/run/index.ts"
import type { ActionKind } from "../../../compiler/wording/actions.ts"
import * as m from "../../../compiler/wording/compiled/bench.ts"
import type { Message } from "../../../compiler/wording/message.ts"
import { kindOfAct } from "../labels.ts"

/** What was done to a place of the machine in this job, as it stands on the board. */
export interface Mark {
  readonly kind: "in" | "changed" | "tried"
  readonly text: Message
  /** Counted from 1; none for what stands now. */
  readonly step?: number
}

/** By place: what is in it now that wasn't, and what was last done to it in each way. */
export function marksOf(graph: Graph, { log, standing }: Session): ReadonlyMap<number, readonly Mark[]> {
  const marks = new Map<number, Mark[]>()
  const add = (place: number, mark: Mark) => {
    const others = (marks.get(place) ?? []).filter(({ text }) => text !== mark.text)
    marks.set(place, [...others, mark])
  }
  log.forEach((entry, i) => {
    for (const { place, ...mark } of touched(graph, entry)) add(place, { ...mark, step: i + 1 })
  })
  for (const part of standing.fitted) {
    const place = graph.places.indexOf(part)
    const before = (marks.get(place) ?? []).filter(({ text }) => text !== m.markTried)
    marks.set(place, [{ kind: "in", text: m.markPartIn }, ...before])
  }
  return marks
}

interface Touched extends Mark {
  readonly place: number
}

const work: Readonly<Partial<Record<ActionKind, Mark>>> = {
  swaps: { kind: "tried", text: m.markTried },
  removes: { kind: "tried", text: m.markRunWithout },
  fix: { kind: "changed", text: m.markFixed },
  takeOut: { kind: "changed", text: m.markPartOut },
  putBack: { kind: "changed", text: m.markPutBack },
  keep: { kind: "changed", text: m.markBought },
  replace: { kind: "changed", text: m.markNewPart },
}
const doneAgain: Mark = { kind: "changed", text: m.markRedone }

function touched(graph: Graph, entry: Entry): Touched[] {
  if (!("act" in entry)) return []
  const { act } = entry
  const places = placesOfAct(graph, act)
  const direct = places.map((place): Touched => ({ place, ...(work[kindOfAct(graph, act)] ?? doneAgain) }))
  const onTheWay = disturbedBy(graph, act, places).map(
    (place): Touched => ({ place, kind: "changed", text: m.markDisturbed }),
  )
  return [...direct, ...onTheWay]
}

/** The places that an act works on: parts that go in or out, or the setups that are done again for their own sake. */
function placesOfAct(graph: Graph, act: Act): number[] {
  if ("test" in act) {
    const test = graph.tests.findIndex(({ name }) => name === act.test)
    const { parts, redoes = [] } = graph.model.tests[test] ?? {}
    return parts ? [...parts] : redoes.map(([setup]) => setup)
  }
  if ("fix" in act) {
    const fault = graph.faults.find(({ name }) => name === act.fix)
    return fault ? [fault.place] : []
  }
  const [name] = Object.values(act)
  const place = graph.places.findIndex((each) => each.name === name)
  return "reading" in act || place < 0 ? [] : [place]
}

function disturbedBy(graph: Graph, act: Act, places: readonly number[]): number[] {
  if ("keep" in act || "takeOut" in act) return []
  const setups = places.flatMap((place) => (graph.model.reach[place] ?? []).map(([setup]) => setup))
  return [...new Set(setups)].filter((setup) => !places.includes(setup))
}

/** The places that a step works on. */
export function placesOfStep(graph: Graph, step: ActionStep | undefined): ReadonlySet<number> {
  return new Set(step ? placesOfAct(graph, step.act) : [])
}
