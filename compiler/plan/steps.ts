import type { Gate, Model, Test, Work } from "../model/model.ts"
import {
  fixWork,
  type Redone,
  redoCures,
  redoneOnTheWay,
  replaceWork,
  waitingCost,
  workCost,
} from "../model/repairs.ts"
import type { FaultIndex, PlaceIndex, TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"

/** How a step is bookkept; the kinds of the page "What can be done". */
export type StepKind =
  | "reads"
  | "told"
  | "redoes"
  | "swaps"
  | "removes"
  | "takeOut"
  | "putBack"
  | "look"
  | "keep"
  | "replace"
  | "fix"
  | "close"

/** One thing that can be done at the bench, and what it does; handing over is open everywhere and no step. */
export interface Step {
  readonly kind: StepKind
  /** The declared test, or the one that fitted the part that is put back; else -1. */
  readonly test: number
  /** The part or the fault that a step names; else -1. */
  readonly subject: number
  /** Of a swap: whether the known-good parts are left in after `stays`. */
  readonly leaveIn: boolean
  /** Money of the step, waiting and price included, its look not; of `close` it depends on the job. */
  readonly cost: number
  readonly waiting: number
  readonly price: number
  readonly minutes: number
  /** Tries of its look; 0 where it doesn't look. */
  readonly tries: number
  readonly reads: readonly number[]
  /** Parts that are fitted, or removed, or that leave the machine. */
  readonly parts: readonly number[]
  /** By fault: chance that the step cures it. */
  readonly cures: Float64Array
  /** Faults of which that chance isn't 0. */
  readonly cured: readonly number[]
  /** By fault, of `removes`: 1 where it is inactive during the look. */
  readonly away: Uint8Array
  /** Places that count for the `for` of a proof. */
  readonly touches: readonly number[]
  /** What must be done or known before it, where it waits for anything. */
  readonly gate: Gate | undefined
}

const NOTHING: Work = { minutes: 0, costs: 0, waits: 0 }

/** Every step of a model: tests in their order (a swap twice, by what follows `stays`), then what is done to parts and faults. */
export function makeSteps(model: Model): Step[] {
  const steps: Step[] = []
  for (const [index, test] of model.tests.entries()) {
    steps.push(testStep(model, index, test, false))
    if (test.kind === "swaps") steps.push(testStep(model, index, test, true))
  }
  for (const [part, place] of model.places.entries()) {
    if (place.kind !== "part") continue
    for (const [index, test] of model.tests.entries())
      if (test.kind === "swaps" && test.parts.includes(part)) steps.push(putBackStep(model, index, part))
    if (model.tests.some(({ kind, parts }) => kind === "swaps" && parts.includes(part)))
      steps.push(step(model, "takeOut", NOTHING, { subject: part, parts: [part] }), keepStep(model, part))
    steps.push(replaceStep(model, part))
  }
  for (const fault of model.faults.keys()) {
    const work = fixWork(model, fault)
    if (work !== undefined) steps.push(fixStep(model, fault, work))
  }
  const { tries } = model.complaint
  steps.push(step(model, "look", NOTHING, { tries }), step(model, "close", NOTHING, {}))
  return steps
}

function step(model: Model, kind: StepKind, work: Work, rest: Partial<Step>): Step {
  const cures = rest.cures ?? new Float64Array(model.faults.length)
  const waiting = waitingCost(model, work.waits)
  const price = rest.price ?? 0
  return {
    kind,
    test: -1,
    subject: -1,
    leaveIn: false,
    cost: workCost(model, work) + waiting + price,
    waiting,
    price,
    minutes: work.minutes,
    tries: 0,
    reads: [],
    parts: [],
    away: new Uint8Array(model.faults.length),
    touches: [],
    gate: undefined,
    ...rest,
    cures,
    cured: [...cures.keys()].filter((fault) => cures[fault]! > 0),
  }
}

function testStep(model: Model, index: TestIndex, test: Test, leaveIn: boolean): Step {
  const looks = test.kind === "redoes" || test.kind === "swaps" || test.kind === "removes"
  const away = new Uint8Array(model.faults.length)
  if (test.kind === "removes") {
    for (const [fault, { place }] of model.faults.entries()) {
      const { of } = at(model.places, place)
      if (test.parts.includes(place) || (of !== undefined && test.parts.includes(of))) away[fault] = 1
    }
  }
  const waiting = waitingCost(model, test.waits)
  return step(model, test.kind, test, {
    test: index,
    leaveIn,
    cost: test.cost + waiting,
    tries: looks ? test.tries : 0,
    reads: test.reads,
    parts: test.parts,
    cures: curesOf(model, test.redoes),
    away,
    touches: [...test.parts, ...test.redoes.map(({ setup }) => setup)],
    gate: test,
  })
}

function putBackStep(model: Model, index: TestIndex, part: PlaceIndex): Step {
  const test = at(model.tests, index)
  return step(model, "putBack", test, {
    test: index,
    subject: part,
    cost: test.cost + waitingCost(model, test.waits),
    tries: test.tries,
    parts: [part],
    cures: curesOf(model, test.redoes),
    touches: [part, ...test.redoes.map(({ setup }) => setup)],
  })
}

function keepStep(model: Model, part: PlaceIndex): Step {
  const { price } = at(model.places, part)
  return step(model, "keep", NOTHING, {
    subject: part,
    parts: [part],
    price,
    cures: curesOf(model, [], part),
  })
}

function replaceStep(model: Model, part: PlaceIndex): Step {
  const { price, reach, gate } = at(model.places, part)
  return step(model, "replace", replaceWork(model, part), {
    subject: part,
    price,
    tries: model.complaint.tries,
    cures: curesOf(model, redoneOnTheWay(model, reach), part),
    touches: [part, ...reach],
    gate,
  })
}

function fixStep(model: Model, fault: FaultIndex, work: Work): Step {
  const { place, gate } = at(model.faults, fault)
  const { reach } = at(model.places, place)
  const cures = curesOf(model, redoneOnTheWay(model, reach))
  cures[fault] = 1
  return step(model, "fix", work, {
    subject: fault,
    tries: model.complaint.tries,
    cures,
    touches: [place, ...reach],
    gate,
  })
}

/** By fault: the chance that what is redone cures it, each setup having its own try; surely where it is in `part`. */
function curesOf(model: Model, redoes: Redone, part = -1): Float64Array {
  return Float64Array.from(model.faults, (fault) => (fault.place === part ? 1 : redoCures(fault, redoes)))
}
