/** A workshop at work on drawn machines: it has its own idea of what is wrong, strays from the book, and writes down what it did. */

import type { Model, Test } from "../compiler/model/model.ts"
import { fixWork, replaceWork } from "../compiler/model/repairs.ts"
import type { GraphAction } from "../compiler/run/graph.ts"
import type {
  CellIndex,
  FaultIndex,
  PlaceIndex,
  ReadingIndex,
  Table,
  TestIndex,
} from "../compiler/run/indexes.ts"
import { at } from "../compiler/run/lookup.ts"
import {
  type Bench,
  drawMachine,
  drawn,
  holds,
  isWrong,
  type Machine,
  type World,
} from "../test/support/hidden-machine.ts"
import type { Draw } from "../test/support/models.ts"

/** Chances of 1 at which a workshop strays from the book (invented, no source). */
export const deviations = {
  /** A setup is redone in a hurry and cures with half its chance. */
  hurried: 0.08,
  /** Hands in the machine move a seat that the step does not name, and that cures it. */
  nudged: 0.05,
  /** A plug is forgotten, a seat left half in: a fault of the workshop's own. */
  slipped: 0.03,
  /** The complaint is looked for once only, however many tries the step asks for. */
  oneTry: 0.2,
  /** A step is done and not written down. */
  unwritten: 0.05,
  /** One of several values of a step is not written down. */
  valueMissing: 0.08,
  /** After a swap that cures, the known-good part is bought without putting the old one back. */
  notPutBack: 0.4,
  /** The next step is one that nothing speaks for. */
  detour: 0.07,
}

export type Deviation = keyof typeof deviations

export interface Step {
  test?: string
  putBack?: string
  keep?: string
  replace?: string
  fix?: string
  close?: true
  handOver?: true
  found: Record<string, string> | "gone" | "stays" | "holds" | "fails" | "done"
  minutes: number
}

/** What drawing takes: `happens` a chance, `share` a number from 0 to 1. */
export interface Chance {
  readonly draw: Draw
  share(): number
  strays(what: Deviation): boolean
}

const MOST_TURNS = 18
/** A fault that the technician thinks this likely is repaired without more ado. */
const SURE = 0.7

export class WorkshopJob {
  readonly steps: Step[] = []
  readonly told: Record<string, string> = {}
  machine: Machine
  #bench: Bench = { fitted: new Map(), findings: new Map(), touched: new Set() }
  readonly #used = new Set<number>()
  readonly #repaired = new Set<string>()
  /** The technician's own idea of what it is: weighs findings, knows no rules. */
  readonly #belief: Table<FaultIndex, number> & number[]
  #gone = false

  readonly #model: Model
  readonly #world: World
  readonly #chance: Chance

  constructor(model: Model, world: World, chance: Chance) {
    this.#model = model
    this.#world = world
    this.#chance = chance
    this.machine = drawMachine(model, chance.draw, world)
    this.#belief = model.faults.map((each) => each.odds)
  }

  /** How the job ended, and whether the machine comes back. */
  play(): { ended: "closed" | "handed over"; comesBack: boolean } {
    this.#begin()
    for (let turn = 0; turn < MOST_TURNS; turn++) {
      if (this.#gone) {
        if (this.#close()) return { ended: "closed", comesBack: this.#isWrong() }
        this.#gone = false
      }
      if (!this.#repairIfSure() && !this.#tryNext()) break
    }
    if (this.#gone && this.#close()) return { ended: "closed", comesBack: this.#isWrong() }
    this.steps.push({ handOver: true, found: "done", minutes: 10 })
    return { ended: "handed over", comesBack: false }
  }

  #isWrong(): boolean {
    return isWrong(this.#model, this.machine, this.#bench.fitted)
  }

  /** What every technician of this workshop does first: asks, and looks at what takes a moment and no instrument. */
  #begin(): void {
    for (const [index, { kind, minutes, needs }] of this.#model.tests.entries()) {
      if (kind === "told" && this.#chance.share() < 0.85) this.#read(index)
      if (kind === "reads" && minutes <= 4 && needs.length === 0 && this.#may(index)) {
        if (this.#chance.share() < 0.5) this.#read(index)
      }
    }
  }

  #act(action: GraphAction) {
    const chance = this.#chance
    const world = this.#world
    const came = drawn(this.#moods(), this.#bench, this.machine, action, false, chance.draw, world)
    if (came === undefined) throw new Error(`Nothing can come of ${JSON.stringify(action)}`)
    this.machine = came.machine
    this.#bench = came.bench
    return came
  }

  /** The model as the technician of the moment works: in a hurry, with one look only. */
  #moods(): Model {
    const model = this.#model
    const chance = this.#chance
    const rate = chance.strays("hurried") ? 0.5 : 1
    const once = chance.strays("oneTry")
    if (rate === 1 && !once) return model
    const tests = model.tests.map((test) => ({
      ...test,
      tries: once ? 1 : test.tries,
      redoes: test.redoes.map((each) => ({ ...each, cures: each.cures * rate })),
    }))
    return { ...model, tests, complaint: { ...model.complaint, tries: once ? 1 : model.complaint.tries } }
  }

  #read(index: TestIndex): void {
    const model = this.#model
    const chance = this.#chance
    const used = this.#used
    used.add(index)
    const test = at(model.tests, index)
    const { on } = this.#act({ do: "test", test: index })
    const values: Record<string, string> = {}
    test.reads.forEach((reading, i) => {
      const cell = at(on as readonly CellIndex[], i)
      this.#learn(reading, cell)
      if (test.reads.length > 1 && chance.strays("valueMissing")) return
      values[at(model.readings, reading).name] = valueIn(model, reading, cell, chance)
    })
    if (test.kind === "told") Object.assign(this.told, values)
    else if (Object.keys(values).length > 0) this.#write({ test: test.name, found: values }, test.minutes)
  }

  #learn(reading: ReadingIndex, cell: CellIndex): void {
    const model = this.#model
    const belief = this.#belief
    const { healthy, told, trust, cells } = at(model.readings, reading)
    const all = cells.reduce((sum, { weight }) => sum + weight, 0)
    for (const [f, { chances }] of model.faults.entries()) {
      const shown = at(chances[reading] ?? healthy, cell)
      const likely = told ? trust * shown + ((1 - trust) * at(cells, cell).weight) / all : shown
      belief[f] = at(belief, f) * Math.max(likely, 0.03) ** 0.8
    }
  }

  #write(step: Omit<Step, "minutes">, minutes: number): void {
    const chance = this.#chance
    if (chance.strays("unwritten")) return
    this.steps.push({ ...step, minutes: Math.max(1, Math.round(minutes * (0.7 + chance.share()))) })
  }

  /** Whatever opens the machine may move a seat that nobody meant, for the better or the worse. */
  #handle(places: readonly PlaceIndex[]): void {
    const { machine } = this
    const model = this.#model
    const chance = this.#chance
    const seats = (fault: FaultIndex) => at(model.places, at(model.faults, fault).place).kind === "setup"
    const moved = machine.faults.filter((fault) => !machine.cured.has(fault) && seats(fault))
    const [first] = moved
    if (first !== undefined && chance.strays("nudged"))
      this.machine = { ...machine, cured: new Set([...machine.cured, first]) }
    if (machine.faults.length !== 1 || !chance.strays("slipped")) return
    const slips = model.faults.flatMap(({ place }, fault) =>
      places.includes(place) && seats(fault) && !machine.faults.includes(fault) ? [fault] : [],
    )
    if (slips.length === 0) return
    const slip = at(slips, chance.draw.int(0, slips.length - 1))
    this.machine = { ...this.machine, faults: [...machine.faults, slip].sort((a, b) => a - b) }
  }

  #tryNext(): boolean {
    const index = this.#chance.strays("detour") ? this.#anything() : this.#likeliest()
    if (index === -1) return false
    if (at(this.#model.tests, index).kind === "reads") this.#read(index)
    else this.#change(index)
    return true
  }

  #change(index: TestIndex): void {
    const model = this.#model
    const used = this.#used
    const test = at(model.tests, index)
    used.add(index)
    if (test.power === "off") this.#handle([...test.parts, ...test.redoes.map(({ setup }) => setup)])
    const on = this.#act({ do: "test", test: index }).on as "gone" | "stays"
    this.#write({ test: test.name, found: on }, test.minutes)
    if (on === "stays") this.#weigh((fault) => (this.#addresses(test, fault) ? 0.12 : 1))
    else if (test.kind === "swaps") for (const part of test.parts) this.#unfit(part, test)
    else if (test.kind === "removes") {
      this.#weigh((fault) => (test.parts.includes(at(model.faults, fault).place) ? 1 : 0.05))
      this.#repairPart(at(test.parts, 0))
    } else this.#gone = true
  }

  /** The old part goes back to see, or the known-good one is bought at once. */
  #unfit(part: PlaceIndex, test: Test): void {
    const { name } = at(this.#model.places, part)
    if (this.#chance.strays("notPutBack")) {
      this.#act({ do: "keep", part })
      this.#write({ keep: name, found: "done" }, 1)
      this.#repaired.add(name)
      this.#gone = true
      return
    }
    const on = this.#act({ do: "putBack", part }).on as "gone" | "stays"
    this.#write({ putBack: name, found: on }, test.minutes)
    if (on === "stays") this.#repairPart(part)
    else this.#gone = true
  }

  #weigh(factor: (fault: FaultIndex) => number): void {
    for (const [fault, chance] of this.#belief.entries()) this.#belief[fault] = chance * factor(fault)
  }

  #addresses({ parts, redoes }: Test, fault: FaultIndex): boolean {
    const { place } = at(this.#model.faults, fault)
    return parts.includes(place) || redoes.some((each) => each.setup === place)
  }

  /** What is mended in place is mended, else a new part is fitted. */
  #repairPart(part: PlaceIndex): void {
    const model = this.#model
    const belief = this.#belief
    const inside = [...model.faults.keys()].filter((fault) => at(model.faults, fault).place === part)
    const fault = inside.sort((a, b) => at(belief, b) - at(belief, a))[0]
    if (fault !== undefined && fixWork(model, fault) && this.#repair({ do: "fix", fault })) return
    this.#repair({ do: "replace", part })
  }

  #repairIfSure(): boolean {
    const model = this.#model
    const belief = this.#belief
    const sum = belief.reduce((all, each) => all + each, 0)
    const fault = belief.findIndex((each) => each > SURE * sum)
    if (fault === -1) return false
    const { place } = at(model.faults, fault)
    if (fixWork(model, fault)) return this.#repair({ do: "fix", fault })
    return at(model.places, place).kind === "part" && this.#repair({ do: "replace", part: place })
  }

  /** False where it has been done already. */
  #repair(action: { do: "fix"; fault: FaultIndex } | { do: "replace"; part: PlaceIndex }): boolean {
    const model = this.#model
    const repaired = this.#repaired
    const isFix = action.do === "fix"
    const { name } = isFix ? at(model.faults, action.fault) : at(model.places, action.part)
    if (repaired.has(name)) return false
    repaired.add(name)
    const place = isFix ? at(model.faults, action.fault).place : action.part
    this.#handle(at(model.places, place).reach)
    const on = this.#act(action).on as "gone" | "stays"
    const work = isFix ? fixWork(model, action.fault) : replaceWork(model, action.part)
    if (work === undefined) throw new Error(`No work fixes \`${name}\``)
    this.#write(isFix ? { fix: name, found: on } : { replace: name, found: on }, work.minutes + 1)
    if (on === "gone") this.#gone = true
    else
      this.#weigh((fault) =>
        (isFix ? fault === action.fault : at(model.faults, fault).place === place) ? 0.02 : 1,
      )
    return true
  }

  #close(): boolean {
    const on = this.#act({ do: "close", proofs: [] }).on
    this.steps.push({ close: true, found: on as "holds" | "fails", minutes: 12 })
    return on === "holds"
  }

  #may(index: TestIndex): boolean {
    const { after, afterAny, onlyIf } = at(this.#model.tests, index)
    const used = this.#used
    if (used.has(index) || !after.every((each) => used.has(each))) return false
    if (afterAny.length > 0 && !afterAny.some((each) => used.has(each))) return false
    return onlyIf === undefined || holds(onlyIf, this.#bench.findings) === true
  }

  #open(): TestIndex[] {
    return [...this.#model.tests.keys()].filter(
      (index) => at(this.#model.tests, index).kind !== "told" && this.#may(index),
    )
  }

  #anything(): TestIndex | -1 {
    const open = this.#open()
    return open[this.#chance.draw.int(0, Math.max(0, open.length - 1))] ?? -1
  }

  /** Chance of being right for the time it takes, with a good deal of taste. */
  #likeliest(): TestIndex | -1 {
    const model = this.#model
    const chance = this.#chance
    const belief = this.#belief
    const sum = belief.reduce((all, each) => all + each, 0)
    let best: TestIndex | -1 = -1
    let most = 0
    for (const index of this.#open()) {
      const test = at(model.tests, index)
      const hope = belief.reduce((all, each, f) => all + (this.#addresses(test, f) ? each : 0), 0) / sum
      const worth = test.kind === "reads" ? this.#saysOf(test, sum) : hope
      const score = (worth * Math.exp(0.7 * (chance.share() + chance.share() - 1))) / (test.minutes + 3)
      if (score > most) {
        best = index
        most = score
      }
    }
    return best
  }

  /** Share of the suspects that a test says something of. */
  #saysOf({ reads }: Test, sum: number): number {
    const spoken = this.#belief.reduce(
      (all, each, f) => all + (reads.some((r) => at(this.#model.faults, f).chances[r]) ? each : 0),
      0,
    )
    return (0.8 * Math.min(spoken, sum - spoken)) / sum + 0.02
  }
}

/** A value within the cell, as a technician writes it: `12.04 V`. */
function valueIn(model: Model, reading: ReadingIndex, cell: CellIndex, { share }: Chance): string {
  const { name, grid, cells } = at(model.readings, reading)
  const { value, first, last } = at(cells, cell)
  if (!grid || first === undefined || last === undefined) {
    if (value === undefined) throw new Error(`A cell of \`${name}\` has neither a value nor a range`)
    return value
  }
  const step = first + Math.floor(share() * (last - first + 1))
  const digits = Math.max(0, Math.ceil(-Math.log10(grid.by) - 1e-9))
  return `${(grid.from + step * grid.by).toFixed(digits)} ${grid.unit}`
}
