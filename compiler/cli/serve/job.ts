/** One request about a job: its log goes in, and what is to be done next comes out. Nothing is kept between two requests. */

import type { GraphPicture } from "../../run/graph.ts"
import type { Entry, Recorded, Session } from "../../run/index.ts"
import { picturesOf, type ShownPicture } from "../../ship/pictures.ts"
import { type SheetDetails, type SheetKind, sheet } from "../../ship/sheets/sheets.ts"
import type { SentEntry, SessionView } from "./recent-sessions.ts"
import type { Pin, ServedGraph } from "./served-graphs.ts"

export interface JobRequest extends Pin {
  readonly log?: readonly SentEntry[]
  /** An entry of the log to take back, with what couldn't have been done without it. */
  readonly undo?: number
}

export interface RecordRequest extends JobRequest {
  readonly id: string
  readonly date?: string
  readonly faults?: readonly string[]
  readonly confirmed?: string
  readonly cameBack?: boolean
}

export interface SheetRequest extends JobRequest, Partial<SheetDetails> {
  readonly kind: SheetKind
}

/** Which graph answered. */
export interface GraphName {
  readonly name: string
  readonly version: string
  readonly title: string
  readonly digest: string
  readonly money: string
}

export interface JobAnswer extends SessionView {
  readonly graph: GraphName
  /** The log as the next request sends it. */
  readonly log: readonly Entry[]
  /** To be shown with the step; missing where it has none. */
  readonly pictures?: readonly JobPicture[]
}

export interface JobPicture extends Omit<GraphPicture, "digest"> {
  /** Where this service has it. */
  readonly address: string
  readonly text: string
  readonly caution?: string
}

export interface RecordAnswer {
  readonly graph: GraphName
  readonly ended: boolean
  readonly record: Recorded
}

/** @throws Problem where the log isn't one of this graph */
export function jobAnswer(served: ServedGraph, request: JobRequest): JobAnswer {
  const { log, view } = served.sessions.told(request.log ?? [], request.undo)
  const { step } = view
  const pictures = step.do === "end" || step.do === "handover" ? [] : picturesOf(served.graph, step)
  return {
    graph: graphName(served),
    log,
    ...view,
    ...(pictures.length === 0 ? {} : { pictures: pictures.map((each) => addressed(served, each)) }),
  }
}

function addressed({ graph }: ServedGraph, { picture, ...shown }: ShownPicture): JobPicture {
  const { digest, ...size } = picture
  return {
    address: `/graphs/${encodeURIComponent(graph.ruleset.name)}/pictures/${digest}`,
    ...size,
    ...shown,
  }
}

/** @throws Problem where the log isn't one of this graph */
export function recordAnswer(served: ServedGraph, request: RecordRequest): RecordAnswer {
  const session = sessionAfter(served, request)
  const { id, date, faults, confirmed, cameBack } = request
  const record = session.record({
    id,
    ...(date === undefined ? {} : { date }),
    ...(faults === undefined ? {} : { faults }),
    ...(confirmed === undefined ? {} : { confirmed }),
    ...(cameBack === undefined ? {} : { cameBack }),
  })
  return { graph: graphName(served), ended: session.next.do === "end", record }
}

/** A page to print. @throws Problem where the log isn't one of this graph */
export function sheetAnswer(served: ServedGraph, request: SheetRequest): string {
  const { kind, paper = "a4", id, date, ownerStopsAt } = request
  const details = {
    paper,
    ...(id === undefined ? {} : { id }),
    ...(date === undefined ? {} : { date }),
    ...(ownerStopsAt === undefined ? {} : { ownerStopsAt }),
  }
  return sheet(kind, served.graph, sessionAfter(served, request), details, served.bills)
}

export function graphName({ graph, digest }: ServedGraph): GraphName {
  const { name, version, title } = graph.ruleset
  return { name, version, title, digest, money: graph.money }
}

function sessionAfter({ sessions }: ServedGraph, { log = [], undo }: JobRequest): Session {
  return sessions.after(log, undo)
}
