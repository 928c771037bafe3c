/** How each case ended, as the row of a table. */

import type { Graph } from "../../run/graph.ts"
import type { PlaceIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Case } from "../record/case.ts"
import { isRight, likeliest } from "../replay/judge.ts"
import type { Walk } from "../replay/walk.ts"
import { endingName, Labels } from "./labels.ts"

export const OUTCOME_HEADER = [
  "id",
  "line",
  "date",
  "faults",
  "came_back",
  "ending",
  "right",
  "whole",
  "bought",
  "in_vain",
  "likeliest",
  "asked_for",
  "steps",
  "inferred",
  "minutes",
  "money",
] as const

const endings = { fixed: "fixed", comesBack: "comes back", handedOver: "handed over", open: "open" } as const

/** One cell per column of `outcomeHeader`; what does not apply is empty, as is everything that a confirmed fault decides. */
export function outcomeRow(
  graph: Graph,
  record: Case,
  { ending, open, spent, edges, inferred }: Walk,
): (string | number)[] {
  const labels = new Labels(graph)
  const isConfirmed = record.confirmed.kind !== "unknown"
  const best = ending.kind === "handover" ? likeliest(ending.candidates) : undefined
  const yesNo = (is: boolean) => (is ? "yes" : "no")
  const places = (parts: readonly PlaceIndex[]) =>
    parts.map((part) => at(graph.places, part).name).join(" + ")
  return [
    record.id,
    record.line,
    record.date ?? "",
    labels.confirmed(record.confirmed),
    yesNo(record.cameBack),
    ending.kind === "closed" && !isConfirmed ? "closed" : endings[endingName(ending)],
    isConfirmed && ending.kind !== "open" ? yesNo(isRight(ending)) : "",
    isConfirmed && ending.kind === "closed" ? Number(ending.whole.toPrecision(6)) : "",
    places(spent.bought),
    isConfirmed ? spent.inVain : "",
    best === undefined ? "" : best.fault === undefined ? "unlisted" : at(graph.faults, best.fault).name,
    open ? labels.action(open.action).replaceAll("`", "") : "",
    edges.length,
    inferred,
    Number(spent.minutes.toFixed(2)),
    Number(spent.money.toFixed(2)),
  ]
}
