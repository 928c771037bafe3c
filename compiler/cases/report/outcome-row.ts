/** How each case ended, as the row of a table. */
import type { Graph } from "../../run/graph.ts"
import type { Case } from "../record/case.ts"
import { likeliest } from "../replay/judge.ts"
import type { Walk } from "../replay/walk.ts"

export const outcomeHeader = [
  "id",
  "line",
  "date",
  "fault",
  "came_back",
  "ending",
  "remedy",
  "place",
  "chance",
  "likeliest",
  "mends",
  "asked_for",
  "steps",
  "inferred",
  "minutes",
  "money",
] as const

/** One cell per column of `outcomeHeader`; what does not apply is empty. `mends` is empty where no fault is confirmed. */
export function outcomeRow(graph: Graph, record: Case, walked: Walk): (string | number)[] {
  const { ending, open } = walked
  const { truth } = record
  const fault =
    truth.known === "listed" ? graph.faults[truth.fault]!.name : truth.known === "no" ? "" : truth.name
  const verdict = ending.kind === "verdict" ? ending : undefined
  const place = verdict?.remedy.place
  const best = ending.kind === "open" ? -1 : likeliest(ending.candidates)
  const yesNo = (is: boolean) => (is ? "yes" : "no")
  return [
    record.id,
    record.line,
    record.date ?? "",
    fault,
    yesNo(record.cameBack),
    ending.kind,
    verdict?.remedy.kind ?? "",
    place === undefined ? "" : graph.places[place]!.name,
    verdict ? Number(verdict.chance.toPrecision(6)) : "",
    best < 0 ? "" : graph.faults[best]!.name,
    verdict && truth.known !== "no" ? yesNo(verdict.mends) : "",
    open ? `${open.putBack ? "put back after " : ""}${graph.tests[open.test]!.name}` : "",
    walked.edges.length,
    walked.inferred,
    Number(walked.minutes.toFixed(2)),
    Number(walked.work.toFixed(2)),
  ]
}
