import type { Condition, Model, Proof } from "../../compiler/model/model.ts"
import type { GraphAction } from "../../compiler/run/graph.ts"
import type { FaultIndex, IndexOf } from "../../compiler/run/indexes.ts"
import type { Draw } from "./models.ts"
import { redone } from "./reference/redoing.ts"

/** A machine as it really is. What is wrong with it is drawn once; what it shows is drawn when somebody looks. */
export interface Machine {
  /** None: something that is not listed. */
  readonly faults: readonly FaultIndex[]
  readonly cured: ReadonlySet<number>
  /** What a reading is while just these of its faults are active: `reading of faults` → cell. */
  readonly readings: ReadonlyMap<string, number>
  /** By reading: the faults that were active when it was last taken. */
  readonly activeAt: ReadonlyMap<number, string>
  /** Rules that have struck this machine and do not again. */
  readonly struckBy: ReadonlySet<number>
}

/** What stands at the bench, the same for whatever is wrong. */
export interface Bench {
  /** Part → the test that fitted it. */
  readonly fitted: ReadonlyMap<number, number>
  /** Reading → cell, as written down. */
  readonly findings: ReadonlyMap<number, number>
  /** Places for whose sake a proof counts. */
  readonly touched: ReadonlySet<number>
}

/** How machines behave, next to what the ruleset says of them. */
export interface World {
  readonly name: string
  /**
   * `written`: what comes of an action follows what rules and nevers leave of it, in each machine by itself, as the
   * semantics has it. `plain`: machines know nothing of rules.
   */
  readonly rules: "written" | "plain"
  /** By fault: what its odds are multiplied with. */
  readonly odds?: (fault: FaultIndex) => number
  /** Chance that a reading is written down as one of its other cells. */
  readonly misread?: number
  /** What the chance of each fault to show the complaint is multiplied with. */
  readonly recurs?: number
  readonly second?: number
  readonly unlisted?: number
}

export const written: World = { name: "as written", rules: "written" }
export const plain: World = { name: "by percentages alone", rules: "plain" }

type Found = readonly number[] | "gone" | "stays" | "holds" | "fails" | "done"

const happens = (draw: Draw, chance: number) => draw.int(0, 2 ** 30 - 1) < chance * 2 ** 30

/** An index, each as likely as its weight. */
function pick<L extends ArrayLike<number>>(draw: Draw, weights: L): IndexOf<L> {
  const all = Array.from(weights)
  let left = (draw.int(0, 2 ** 30 - 1) / 2 ** 30) * all.reduce((sum, each) => sum + each, 0)
  const found = all.findIndex((weight) => {
    left -= weight
    return left < 0
  })
  return (found < 0 ? all.findLastIndex((weight) => weight > 0) : found) as IndexOf<L>
}

export function drawMachine(model: Model, draw: Draw, world: World): Machine {
  const odds = model.faults.map((fault, index) => fault.odds * (world.odds?.(index) ?? 1))
  const none = {
    cured: new Set<number>(),
    readings: new Map(),
    activeAt: new Map(),
    struckBy: new Set<number>(),
  }
  const unlisted = world.unlisted ?? model.ruleset.unlisted
  const second = odds.length < 2 ? 0 : (world.second ?? model.ruleset.second)
  const kind = pick(draw, [1 - unlisted - second, second, unlisted])
  if (kind === 2) return { ...none, faults: [] }
  // Two are drawn each by itself until they differ, which makes a pair as likely as the product of its odds.
  let faults = [pick(draw, odds)]
  while (kind === 1 && (faults.length < 2 || faults[0] === faults[1]))
    faults = [pick(draw, odds), pick(draw, odds)]
  return { ...none, faults: faults.sort((a, b) => a - b) }
}

type Out = { has(place: number): boolean }

const activeIn = (model: Model, { faults, cured }: Pick<Machine, "faults" | "cured">, out: Out) =>
  faults.filter((fault) => !cured.has(fault) && !out.has(model.faults[fault]!.place))

export function isWrong(model: Model, machine: Machine, out: Out): boolean {
  return machine.faults.length === 0 || activeIn(model, machine, out).length > 0
}

export interface Came {
  readonly machine: Machine
  readonly bench: Bench
  readonly on: Found
  /** Tries that the look took. */
  readonly tries: number
}

/** Draws before a machine counts as one that the rules leave nothing of. */
const PATIENCE = 2000

/** What comes of an action. Undefined where rules and nevers leave this machine nothing that could. */
export function drawn(
  model: Model,
  bench: Bench,
  machine: Machine,
  action: GraphAction,
  leaveIn: boolean,
  draw: Draw,
  world: World,
): Came | undefined {
  // What is refused is drawn again, which leaves what can come as likely as it was, divided by all that is not refused.
  for (let i = 0; i < PATIENCE; i++) {
    const came = act(model, bench, machine, action, leaveIn, draw, world)
    if (world.rules === "plain") return came
    const struckBy = outlives(model, came, draw)
    if (struckBy) return { ...came, machine: { ...came.machine, struckBy } }
  }
  return undefined
}

function act(
  model: Model,
  bench: Bench,
  machine: Machine,
  action: GraphAction,
  leaveIn: boolean,
  draw: Draw,
  world: World,
): Came {
  const still = { machine, bench, tries: 0 }
  if (action.do === "takeOut" || action.do === "keep") {
    const fitted = without(bench.fitted, action.part)
    const cured = action.do === "keep" ? curedIn(model, machine, action.part) : machine.cured
    return { ...still, on: "done", machine: { ...machine, cured }, bench: { ...bench, fitted } }
  }
  if (action.do === "look") return { ...still, ...look(model, machine, bench.fitted, undefined, draw, world) }
  if (action.do === "close") {
    return { ...still, on: proves(model, machine, bench, draw, world) ? "holds" : "fails" }
  }
  if (action.do !== "test") return repair(model, bench, machine, action, draw, world)
  const test = model.tests[action.test]!
  if (test.kind === "reads" || test.kind === "told") {
    return take(model, bench, machine, test.reads, draw, world)
  }
  const named = test.redoes.filter((each) => each.named)
  const redoes = redone(model.places, test.parts, named)
  const touched = touching(bench, [...test.parts, ...redoes.map(({ setup }) => setup)])
  if (test.kind === "removes") {
    const seats = model.places.flatMap(({ of }, place) =>
      of !== undefined && test.parts.includes(of) ? [place] : [],
    )
    const seen = look(
      model,
      machine,
      new Set([...bench.fitted.keys(), ...test.parts, ...seats]),
      test.tries,
      draw,
      world,
    )
    return { ...still, ...seen, machine: redo(model, machine, redoes, draw), bench: { ...bench, touched } }
  }
  const after = redo(model, machine, redoes, draw)
  const fitted = new Map(bench.fitted)
  if (test.kind === "swaps") for (const part of test.parts) fitted.set(part, action.test)
  const seen = look(model, after, fitted, test.tries, draw, world)
  const back = seen.on === "stays" && !leaveIn
  return { ...seen, machine: after, bench: { ...bench, touched, fitted: back ? bench.fitted : fitted } }
}

function repair(
  model: Model,
  bench: Bench,
  machine: Machine,
  action: Exclude<GraphAction, { do: "test" | "look" | "close" }>,
  draw: Draw,
  world: World,
): Came {
  if (action.do === "putBack") {
    const test = model.tests[bench.fitted.get(action.part)!]!
    const named = test.redoes.filter((each) => each.named)
    const redoes = redone(model.places, test.parts, named)
    const after = redo(model, machine, redoes, draw)
    const fitted = without(bench.fitted, action.part)
    const touched = touching(bench, [action.part, ...redoes.map(({ setup }) => setup)])
    const seen = look(model, after, fitted, test.tries, draw, world)
    return { ...seen, machine: after, bench: { ...bench, fitted, touched } }
  }
  const place = action.do === "fix" ? model.faults[action.fault]!.place : action.part
  const { kind, cures } = model.places[place]!
  const redoes =
    kind === "part" ? redone(model.places, [place], []) : redone(model.places, [], [{ setup: place, cures }])
  const cured =
    action.do === "fix" ? new Set([...machine.cured, action.fault]) : curedIn(model, machine, place)
  const after = redo(model, { ...machine, cured }, redoes, draw)
  const touched = touching(bench, [place, ...redoes.map(({ setup }) => setup)])
  return {
    ...look(model, after, bench.fitted, undefined, draw, world),
    machine: after,
    bench: { ...bench, touched },
  }
}

function without(fitted: ReadonlyMap<number, number>, part: number): Map<number, number> {
  const left = new Map(fitted)
  left.delete(part)
  return left
}

function touching({ touched }: Bench, places: readonly number[]): Set<number> {
  return new Set([...touched, ...places])
}

function curedIn(model: Model, { faults, cured }: Machine, place: number): Set<number> {
  return new Set([...cured, ...faults.filter((fault) => model.faults[fault]!.place === place)])
}

/** Each setup that is redone may cure each fault that it can. */
function redo(
  model: Model,
  machine: Machine,
  redoes: readonly { readonly setup: number; readonly cures: number }[],
  draw: Draw,
): Machine {
  const cured = new Set(machine.cured)
  for (const { setup, cures } of redoes) {
    for (const fault of machine.faults) {
      const { place, eased } = model.faults[fault]!
      const chance = place === setup ? cures : eased.find((each) => each.setup === setup)?.chance
      if (chance !== undefined && happens(draw, chance)) cured.add(fault)
    }
  }
  return { ...machine, cured }
}

function look(
  model: Model,
  machine: Machine,
  out: Out,
  tries: number | undefined,
  draw: Draw,
  world: World,
): { on: "gone" | "stays"; tries: number } {
  const most = tries ?? model.complaint.tries
  for (let made = 1; made <= most; made++) {
    if (isShown(model, machine, out, draw, world)) return { on: "stays", tries: made }
  }
  return { on: "gone", tries: most }
}

/** One try of the complaint. */
function isShown(model: Model, machine: Machine, out: Out, draw: Draw, world: World): boolean {
  if (machine.faults.length === 0) return true
  return activeIn(model, machine, out).some((fault) =>
    happens(draw, model.faults[fault]!.recurs * (world.recurs ?? 1)),
  )
}

function take(
  model: Model,
  bench: Bench,
  machine: Machine,
  reads: readonly number[],
  draw: Draw,
  world: World,
): Came {
  const readings = new Map(machine.readings)
  const activeAt = new Map(machine.activeAt)
  const findings = new Map(bench.findings)
  const on: number[] = []
  for (const reading of reads) {
    const cell = readingNow(model, { ...machine, readings }, bench.fitted, reading, draw)
    const { told, cells } = model.readings[reading]!
    const active = activeIn(model, machine, bench.fitted)
    if (!told) readings.set(memory(model, active, reading), cell)
    activeAt.set(reading, `${active}`)
    const wrong = !told && world.misread !== undefined && happens(draw, world.misread)
    const noted = wrong && cells.length > 1 ? (cell + draw.int(1, cells.length - 1)) % cells.length : cell
    findings.set(reading, noted)
    on.push(noted)
  }
  return { on, tries: 0, machine: { ...machine, readings, activeAt }, bench: { ...bench, findings } }
}

const speaking = (model: Model, active: readonly number[], reading: number) =>
  active.filter((fault) => model.faults[fault]!.chances[reading] !== undefined)

const memory = (model: Model, active: readonly number[], reading: number) =>
  `${reading} of ${speaking(model, active, reading)}`

function readingNow(model: Model, machine: Machine, out: Out, reading: number, draw: Draw): number {
  const { told, trust, healthy, cells } = model.readings[reading]!
  const base = cells.map((cell) => cell.weight)
  if (told && !happens(draw, trust)) return pick(draw, base)
  const active = told ? machine.faults : activeIn(model, machine, out)
  const before = told ? undefined : machine.readings.get(memory(model, active, reading))
  if (before !== undefined) return before
  if (machine.faults.length === 0) return pick(draw, draw.int(0, 1) === 0 ? healthy : base)
  const of = speaking(model, active, reading)
  const one = of[draw.int(0, Math.max(0, of.length - 1))]
  return pick(draw, one === undefined ? healthy : model.faults[one]!.chances[reading]!)
}

export function countingProofs(model: Model, { touched }: Bench): Proof[] {
  return model.proofs.filter(
    ({ places }) => places.length === 0 || places.some((place) => touched.has(place)),
  )
}

function proves(model: Model, machine: Machine, bench: Bench, draw: Draw, world: World): boolean {
  const proofs = countingProofs(model, bench)
  const tries = proofs.reduce((sum, proof) => sum + proof.times, 0)
  const read = new Map<number, number>()
  for (const { expects } of proofs) {
    if (expects && !read.has(expects.reading)) {
      read.set(expects.reading, readingNow(model, machine, bench.fitted, expects.reading, draw))
    }
  }
  const seen = Array.from({ length: tries }, () => isShown(model, machine, bench.fitted, draw, world))
  return (
    !seen.includes(true) &&
    proofs.every(({ expects }) => !expects || expects.cells[read.get(expects.reading)!])
  )
}

/** The rules that have struck by now, or undefined where a rule or a never takes what came. */
function outlives(model: Model, { machine, bench }: Came, draw: Draw): Set<number> | undefined {
  const active = activeIn(model, machine, bench.fitted)
  const isTold = (reading: number) => model.readings[reading]!.told
  const standing = new Map(
    [...bench.findings].filter(
      ([reading]) => isTold(reading) || machine.activeAt.get(reading) === `${active}`,
    ),
  )
  if (model.nevers.some((never) => holds(never.condition, standing) === true)) return undefined
  const struckBy = new Set(machine.struckBy)
  for (const [index, { condition, verb, of, chance }] of model.rules.entries()) {
    if (struckBy.has(index) || holds(condition, standing) !== true) continue
    const meant = readingsIn(condition).every(isTold) ? machine.faults : active
    if (meant.length === 0 && machine.faults.length > 0) continue
    if (of.some((fault) => meant.includes(fault)) !== (verb === "rule out")) continue
    if (happens(draw, chance)) return undefined
    if (chance > 0) struckBy.add(index)
  }
  return struckBy
}

/** Kleene's truth of a condition over the cells found so far; undefined where it isn't known. */
export function holds(condition: Condition, findings: ReadonlyMap<number, number>): boolean | undefined {
  if (condition.kind === "in") {
    const cell = findings.get(condition.reading)
    return cell === undefined ? undefined : condition.cells[cell]
  }
  if (condition.kind === "not") {
    const inner = holds(condition.item, findings)
    return inner === undefined ? undefined : !inner
  }
  const values = condition.items.map((item) => holds(item, findings))
  const settles = condition.kind === "or"
  if (values.includes(settles)) return settles
  return values.includes(undefined) ? undefined : !settles
}

function readingsIn(condition: Condition): number[] {
  if (condition.kind === "in") return [condition.reading]
  if (condition.kind === "not") return readingsIn(condition.item)
  return condition.items.flatMap(readingsIn)
}
