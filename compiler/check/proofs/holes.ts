import type { FaultIndex, ReadingIndex, Table } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type { Context } from "../context.ts"
import type { EliminationIndex } from "../eliminations.ts"
import { type Findings, type Formula, readingsOf } from "../logic/formula.ts"
import type { FindingSpace } from "../logic/space.ts"
import {
  actingOn,
  certainLeaves,
  type Exclusion,
  exclusionsOf,
  survives,
  survivingPairs,
} from "../machine-states.ts"
import type { MachineState } from "../state-kinds.ts"

/** As many pairs of faults as one set of findings may teach; more come with the next ones. */
const LEARNT_AT_ONCE = 20

/**
 * Holes are findings that leave no state at all. Asked as one question over all single faults at once: is there, for each,
 * an elimination that can act together with those of the others? Pairs of faults are many and mostly go with the single
 * ones, so each is put into the question only once findings leave it.
 */
export class HoleSearch {
  /** The states that the question is about, and by state the node that rules it out. */
  readonly states: MachineState[] = []
  readonly nodes: number[] = []
  /** All readings that eliminations speak of. */
  readonly readings: readonly ReadingIndex[]
  /** By elimination: the node that it acts. */
  readonly acts: Table<EliminationIndex, number>
  readonly #context: Context
  readonly #counts: (elimination: EliminationIndex) => boolean
  readonly #clashes = new Map<string, Formula>()

  /** `counts`: which eliminations count. */
  constructor(context: Context, counts: (elimination: EliminationIndex) => boolean = () => true) {
    this.#context = context
    this.#counts = counts
    const { eliminations, space, model, kinds } = context
    const used = eliminations.filter((each, i) => each.certain && counts(i))
    this.readings = readingsOf(...used.map((each) => each.formula))
    this.acts = eliminations.map(({ formula }) => space.holds(formula))
    if (kinds.singles) for (const fault of model.faults.keys()) this.#add([fault])
    if (kinds.unlisted) this.#add([])
  }

  /** False if some state cannot be ruled out at all, which spares the solver. */
  get thinkable(): boolean {
    const context = this.#context
    const { kinds, model } = context
    if (kinds.unlisted && !certainLeaves(context).some(this.#counts)) return false
    return !kinds.singles || [...model.faults.keys()].every((f) => at(context.against, f).some(this.#counts))
  }

  /** Can findings be a hole while the further nodes hold? After `yes` the space has them. */
  ask(further: readonly number[], budget?: number, first: readonly number[] = this.acts) {
    for (;;) {
      const answer = this.#space.ask([...this.nodes, ...further], this.readings, budget, first)
      if (answer !== "yes" || !this.#learn(this.#space.findings(this.readings))) return answer
    }
  }

  isHole(findings: Findings): boolean {
    const acting = this.acting(findings)
    return this.#isHoleOf(acting) && this.pairsLeft(acting, 1).length === 0
  }

  /** By elimination: whether it counts and surely acts. */
  acting(findings: Findings): Table<EliminationIndex, boolean> {
    return actingOn(this.#context, findings).map((acts, i) => acts && this.#counts(i))
  }

  pairsLeft(acting: Table<EliminationIndex, boolean>, most: number): MachineState[] {
    return this.#context.kinds.pairs ? survivingPairs(this.#context, acting, most) : []
  }

  get #space(): FindingSpace {
    return this.#context.space
  }

  #isHoleOf(acting: Table<EliminationIndex, boolean>): boolean {
    const context = this.#context
    const { kinds, against } = context
    if (kinds.singles && !against.every((list) => list.some((i) => acting[i]))) return false
    return !kinds.unlisted || certainLeaves(context).some((i) => acting[i])
  }

  /** Puts pairs that these findings leave into the question; false if they leave none. */
  #learn(findings: Findings): boolean {
    const pairs = this.pairsLeft(this.acting(findings), LEARNT_AT_ONCE)
    for (const pair of pairs) this.#add(pair)
    return pairs.length > 0
  }

  #add(state: MachineState): void {
    const exclusions = exclusionsOf(this.#context, state).filter((each) => each.every(this.#counts))
    this.states.push(state)
    this.nodes.push(this.#space.some(exclusions.map((each) => this.#nodeOf(each))))
  }

  /** All eliminations of an exclusion act; those of more than one are all of one reading. */
  #nodeOf(exclusion: Exclusion): number {
    const [first, ...others] = exclusion
    if (first !== undefined && others.length === 0) return at(this.acts, first)
    const key = exclusion.join(" ")
    let formula = this.#clashes.get(key)
    if (formula === undefined) {
      formula = intersection(exclusion.map((index) => at(this.#context.eliminations, index).formula))
      this.#clashes.set(key, formula)
    }
    return this.#space.holds(formula)
  }
}

function intersection(formulas: readonly Formula[]): Formula {
  const [first, ...others] = formulas
  if (first?.kind !== "in") throw new Error("a distribution speaks of cells")
  const cells = first.cells.map(
    (flag, i) => flag && others.every((each) => each.kind === "in" && each.cells[i]),
  )
  return { kind: "in", reading: first.reading, cells }
}

/** Whether no findings at all leave no state: then there is nothing to look for, and typing elsewhere keeps it so. */
export function hasNoHoles(context: Context): boolean {
  const search = new HoleSearch(context)
  if (!context.possible || !search.thinkable) return true
  const known = context.proofs.hint<readonly (readonly string[])[]>("survivors")
  if (known !== undefined && stillStands(context, known)) return true
  if (search.ask([]) !== "no") return false
  remember(context, search)
  return true
}

/** The core of the last answer, a handful of states of which one always stays, under the content that it rests on. */
function remember(context: Context, { states }: HoleSearch): void {
  const { model, proofs, space } = context
  proofs.made++
  const named = space.solver.core.map((i) => at(states, i).map((fault) => at(model.faults, fault).name))
  proofs.keep("survivors", named)
  proofs.keep("survivors of", contentOf(context, named))
}

function stillStands(context: Context, states: readonly (readonly string[])[]): boolean {
  const { proofs } = context
  const content = contentOf(context, states)
  if (content === undefined || proofs.hint("survivors of") !== content) return false
  proofs.reused++
  proofs.keep("survivors", states)
  proofs.keep("survivors of", content)
  return true
}

/** Undefined where such a state has no chance in this ruleset. */
function contentOf(context: Context, states: readonly (readonly string[])[]): string | undefined {
  const { model, eliminations, kinds } = context
  const kindOf = [kinds.unlisted, kinds.singles, kinds.pairs]
  const lines: string[] = []
  for (const names of states) {
    const known = names.map((name) => model.faults.findIndex((each) => each.name === name))
    const state = known.filter((fault): fault is FaultIndex => fault !== -1)
    if (state.length < known.length || !kindOf[state.length]) return undefined
    state.sort((a, b) => a - b)
    const exclusions = exclusionsOf(context, state).map((each) =>
      context.keys.of(...each.map((index) => at(eliminations, index).formula)),
    )
    lines.push(exclusions.sort().join(" | "))
  }
  return lines.join("\n")
}

/** Whether some state of one or two faults survives these findings as far as counted; for findings that are a hole. */
export function someSurvives(context: Context, search: HoleSearch, findings: Findings): boolean {
  const acting = search.acting(findings)
  const { kinds, against } = context
  if (kinds.unlisted && survives(exclusionsOf(context, []), acting)) return true
  if (kinds.singles && against.some((list) => !list.some((i) => acting[i]))) return true
  return search.pairsLeft(acting, 1).length > 0
}
