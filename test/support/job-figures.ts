import type { Model, Test, Work } from "../../compiler/model/model.ts"
import type { GraphAction } from "../../compiler/run/graph.ts"
import { type Bench, countingProofs, isWrong, type Machine } from "./hidden-machine.ts"
import { fixWork, replaceWork } from "./reference.ts"

/** What a job came to; all in the words of `expected`, a chance being 0 or 1. */
export interface JobFigures {
  total: number
  tests: number
  parts: number
  repairs: number
  proof: number
  comebacks: number
  handover: number
  waiting: number
  minutes: number
  steps: number
  comesBack: number
  handedOver: number
  wasted: number
}

/** Adds up what one job takes. */
export class Shop {
  bench: Bench = { fitted: new Map(), findings: new Map(), touched: new Set() }
  readonly figures: JobFigures = {
    total: 0,
    tests: 0,
    parts: 0,
    repairs: 0,
    proof: 0,
    comebacks: 0,
    handover: 0,
    waiting: 0,
    minutes: 0,
    steps: 0,
    comesBack: 0,
    handedOver: 0,
    wasted: 0,
  }

  readonly #model: Model

  constructor(model: Model) {
    this.#model = model
  }

  /** Money of the step, its look not counted. */
  charge(action: GraphAction): number {
    const { figures } = this
    const model = this.#model
    figures.steps++
    if (action.do === "test") return this.#test(model.tests[action.test]!)
    if (action.do === "putBack") return this.#test(model.tests[this.bench.fitted.get(action.part)!]!)
    if (action.do === "keep" || action.do === "replace") {
      const { price } = model.places[action.part]!
      figures.parts += price
      return price + (action.do === "keep" ? 0 : this.#repair(replaceWork(model, action.part)))
    }
    if (action.do === "fix") return this.#repair(fixWork(model, action.fault)!)
    if (action.do !== "close") return 0
    const minutes = countingProofs(model, this.bench).reduce(
      (sum, each) => sum + each.times * each.minutes,
      0,
    )
    return this.#spend("proof", minutes, 0)
  }

  #spend(on: "tests" | "repairs" | "proof", minutes: number, costs: number, waits = 0): number {
    const { bench, waiting } = this.#model.ruleset
    const work = (minutes * bench) / 60 + costs
    this.figures[on] += work
    this.figures.minutes += minutes
    this.figures.waiting += (waits * waiting) / 60
    return work + (waits * waiting) / 60
  }

  #test({ minutes, costs, risks, waits }: Test): number {
    const risked = risks.reduce((sum, each) => sum + each.chance * this.#model.places[each.part]!.price, 0)
    return this.#spend("tests", minutes, costs + risked, waits)
  }

  #repair({ minutes, costs, waits }: Work): number {
    return this.#spend("repairs", minutes, costs, waits)
  }

  looked(action: GraphAction, tries: number): void {
    const repair = action.do === "replace" || action.do === "fix"
    this.#spend(repair ? "repairs" : "tests", tries * this.#model.complaint.minutes, 0)
  }

  bought(part: number, machine: Machine): void {
    if (machine.faults.every((fault) => this.#model.faults[fault]!.place !== part)) {
      this.figures.wasted += this.#model.places[part]!.price
    }
  }

  closed(machine: Machine): void {
    if (!isWrong(this.#model, machine, this.bench.fitted)) return
    this.figures.comesBack = 1
    this.figures.comebacks = this.#model.ruleset.comeback
  }

  handOver(): void {
    this.figures.steps++
    this.figures.handedOver = 1
    this.figures.handover = this.#model.ruleset.handover
  }
}
