/**
 * Draws finished jobs of a workshop. A fault is drawn by its odds; the machine then behaves by the ruleset's own semantics, but the workshop does not:
 * `deviations` lists what goes wrong in it. The same seed gives the same cases, byte for byte. All of it is invented.
 */
import type { Model, Test } from "../compiler/model/model.ts"

/** Chances of 1 at which a workshop strays from the book (invented, no source). */
const deviations = {
  /** The owner tells another thing than the `trust` of the question already allows for. */
  wrongAccount: 0.1,
  /** A reading is taken off the wrong pin, or written down wrong: any other cell of it. */
  misread: 0.03,
  /** A seat is redone in a hurry and cures with half its chance. */
  hurried: 0.08,
  /** Hands in the machine move a seat that the step does not name, and that cures it. */
  nudged: 0.05,
  /** The complaint is looked for once only, however many tries the step asks for. */
  oneTry: 0.2,
  /** A step is done and not written down. */
  unwritten: 0.05,
  /** After a swap that cures, the old part is not put back. */
  notPutBack: 0.4,
}

type Deviation = keyof typeof deviations

interface Step {
  test?: string
  putBack?: string
  found: Record<string, string> | "gone" | "stays"
  minutes: number
}

/** `count` jobs, the same for the same seed, and how often the workshop strayed, by kind. */
export function drawCases(model: Model, count: number, seed: number) {
  const random = uniform(seed)
  const tally = new Map<Deviation, number>()
  const strays = (what: Deviation) => {
    const does = random() < deviations[what]
    if (does) tally.set(what, (tally.get(what) ?? 0) + 1)
    return does
  }
  const pick = (weights: ArrayLike<number>) => {
    let rest = random() * Array.from(weights).reduce((sum, each) => sum + each, 0)
    let at = 0
    while (at < weights.length - 1 && rest >= weights[at]!) rest -= weights[at++]!
    return at
  }

  /** What every technician of this workshop does first: what others wait for, and what takes a moment and no instrument. */
  const waitedFor = new Set(model.tests.flatMap((test) => (test.onlyIf ? readingsIn(test.onlyIf) : [])))
  const isFirstLook = (test: Test) =>
    test.reads.some((reading) => waitedFor.has(reading)) || (test.minutes <= 2.5 && test.needs.length === 0)

  function drawCase(number: number) {
    const fault = pick(model.faults.map((each) => each.odds))
    const { place, recurs, chances } = model.faults[fault]!
    const told: Record<string, string> = {}
    const steps: Step[] = []
    const used = new Set<number>()
    const found = new Map<number, number>()
    /** The technician's own idea of what it is: weighs findings, knows no eliminations. */
    const belief = model.faults.map((each) => each.odds)
    let cured = false
    let fitted: number | undefined

    const active = () => !cured && fitted !== place
    const learn = (reading: number, cell: number) => {
      found.set(reading, cell)
      for (const [f, each] of model.faults.entries()) {
        const chance = trusted(model, reading, each.chances[reading])[cell]!
        belief[f]! *= Math.max(chance, 0.03) ** 0.8
      }
    }
    const observe = (reading: number) => {
      const { told: isTold, cells } = model.readings[reading]!
      let cell = pick(trusted(model, reading, isTold || active() ? chances[reading] : undefined))
      if (strays(isTold ? "wrongAccount" : "misread"))
        cell = (cell + 1 + Math.floor(random() * (cells.length - 1))) % cells.length
      learn(reading, cell)
      return valueIn(model, reading, cell, random)
    }
    const look = (test: Test): "gone" | "stays" => {
      const tries = test.tries > 1 && strays("oneTry") ? 1 : test.tries
      return active() && random() < 1 - (1 - recurs) ** tries ? "stays" : "gone"
    }
    const write = (step: Step) => {
      if (!strays("unwritten")) steps.push(step)
    }
    const minutes = (test: Test) => Math.max(1, Math.round(test.minutes * (0.7 + random())))

    function redo(test: Test) {
      if (cured || model.places[place]!.kind !== "setup") return
      const own = test.redoes.find((each) => each.setup === place)
      if (own) cured = random() < (strays("hurried") ? own.cures / 2 : own.cures)
      else if (test.power === "off" && strays("nudged")) cured = true
    }

    function work(index: number): "gone" | "stays" | undefined {
      const test = model.tests[index]!
      used.add(index)
      if (test.kind === "reads") {
        const values: Record<string, string> = {}
        for (const reading of test.reads) values[model.readings[reading]!.name] = observe(reading)
        write({ test: test.name, found: values, minutes: minutes(test) })
        return undefined
      }
      const before = fitted
      const part = test.kind === "swaps" ? test.parts[0] : undefined
      if (part !== undefined) fitted = part
      redo(test)
      const outcome = look(test)
      if (outcome === "stays") fitted = before
      write({ test: test.name, found: outcome, minutes: minutes(test) })
      if (outcome === "gone" && part !== undefined && !strays("notPutBack")) {
        fitted = before
        redo(test)
        const again = look(test)
        write({ putBack: model.places[part]!.name, found: again, minutes: minutes(test) })
        // Still there with the old part: the known-good one stays in for good.
        if (again === "stays") fitted = part
      }
      if (outcome === "stays") for (const f of belief.keys()) if (addresses(test, f)) belief[f]! *= 0.12
      return outcome
    }

    const addresses = (test: Test, f: number) => {
      const at = model.faults[f]!.place
      return test.parts.includes(at) || test.redoes.some((each) => each.setup === at)
    }
    const may = (index: number) => {
      const test = model.tests[index]!
      return (
        !used.has(index) && test.after.every((each) => used.has(each)) && holds(test.onlyIf, found) === true
      )
    }

    for (const [reading, each] of model.readings.entries())
      if (each.told && random() < 0.85) told[each.name] = observe(reading)
    for (const [index, test] of model.tests.entries())
      if (test.kind === "reads" && isFirstLook(test) && random() < 0.92 && may(index)) work(index)

    let outcome: "gone" | "stays" | undefined
    for (let turn = 0; turn < 14 && outcome !== "gone"; turn++) {
      const sum = belief.reduce((all, each) => all + each, 0)
      let best = -1
      let most = 0
      for (const [index, test] of model.tests.entries()) {
        if (test.kind === "told" || !may(index)) continue
        const worth =
          test.kind === "reads"
            ? 0.2
            : belief.reduce((all, each, f) => all + (addresses(test, f) ? each : 0), 0) / sum
        const score = (worth * Math.exp(0.7 * (random() + random() - 1))) / (test.minutes + 2)
        if (score > most) {
          best = index
          most = score
        }
      }
      if (best < 0) break
      outcome = work(best)
    }

    const day = new Date(Date.UTC(2025, 8, 1) + Math.floor((number * 300) / count) * 86_400_000)
    return {
      id: `G-${String(number).padStart(3, "0")}`,
      date: day.toISOString().slice(0, 10),
      complaint: model.complaint.name,
      told,
      steps,
      fault: model.faults[fault]!.name,
      confirmed: outcome === "gone" && !active() ? "soak" : "second_visit",
      came_back: outcome === "gone" && active(),
    }
  }

  const cases = Array.from({ length: count }, (_, i) => drawCase(i + 1))
  return { cases, tally }
}

/** What is found of a reading by its cells, an owner's account with its trust; `shows` of an active fault, if it speaks of it. */
function trusted(model: Model, reading: number, shows: Float64Array | undefined): Float64Array {
  const { healthy, told, trust, cells } = model.readings[reading]!
  const chances = shows ?? healthy
  if (!told) return chances
  const count = cells.reduce((sum, { weight }) => sum + weight, 0)
  return chances.map((chance, i) => trust * chance + ((1 - trust) * cells[i]!.weight) / count)
}

/** A value within the cell, as a technician writes it: `12.04 V`. */
function valueIn(model: Model, reading: number, cell: number, random: () => number): string {
  const { grid, cells } = model.readings[reading]!
  const { value, first, last } = cells[cell]!
  if (!grid || first === undefined || last === undefined) return value!
  const step = first + Math.floor(random() * (last - first + 1))
  const digits = Math.max(0, Math.ceil(-Math.log10(grid.by) - 1e-9))
  return `${(grid.from + step * grid.by).toFixed(digits)} ${grid.unit}`
}

/** Kleene's truth of a condition over the cells found so far; undefined where it is not known. */
function holds(condition: Test["onlyIf"], found: ReadonlyMap<number, number>): boolean | undefined {
  if (!condition) return true
  if (condition.kind === "in") {
    const cell = found.get(condition.reading)
    return cell === undefined ? undefined : condition.cells[cell]
  }
  if (condition.kind === "not") {
    const inner = holds(condition.item, found)
    return inner === undefined ? undefined : !inner
  }
  const items = condition.items.map((item) => holds(item, found))
  const decides = condition.kind === "or"
  if (items.includes(decides)) return decides
  return items.includes(undefined) ? undefined : !decides
}

function readingsIn(condition: NonNullable<Test["onlyIf"]>): number[] {
  if (condition.kind === "in") return [condition.reading]
  return condition.kind === "not" ? readingsIn(condition.item) : condition.items.flatMap(readingsIn)
}

/** mulberry32 (T. Ettinger 2017, public domain): short, and the same in every engine. */
function uniform(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}
