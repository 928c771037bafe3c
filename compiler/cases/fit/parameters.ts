/**
 * The numbers of a ruleset that cases can teach, each with its place in the source. A number that is not written, or is
 * written 0 % or 100 %, is hard: an author's "always" and "never" are not for cases to wear down.
 */

import type { Span } from "../../diagnostics/diagnostic.ts"
import type { CellSet, Model } from "../../model/model.ts"
import type { FaultDecl, Quantity, ReadingDecl, SetupDecl, TestDecl, Tree } from "../../syntax/syntax-tree.ts"
import { groupBy } from "../stats/group-by.ts"

/** A number as written, and the stretch of its digits. */
export interface Written {
  readonly spelling: string
  readonly span: Span
}

/** One `shows` or `normally` of a group. */
export interface Clause {
  readonly cells: CellSet
  /** As the author has it, of 1. */
  readonly chance: number
  readonly written?: Written
}

/** How one fault, or the healthy machine (no fault), shows one reading: the clauses, and the rest on the other cells. */
export interface Group {
  readonly reading: number
  readonly fault?: number
  readonly clauses: readonly Clause[]
  /** The cells that no clause covers; empty where they cover all. */
  readonly rest: readonly number[]
}

/** A chance that stands alone: of a fault seen in one try, an account that holds, a redoing that cures. */
export interface Rate {
  readonly kind: "recurs" | "trust" | "cures"
  /** What it is of, in the author's names. */
  readonly name: string
  readonly chance: number
  readonly written?: Written
}

export interface Parameters {
  readonly model: Model
  /** By fault; no number where the clause is missing. */
  readonly odds: readonly (Written | undefined)[]
  readonly groups: readonly Group[]
  /** By reading, then by fault; the last is the healthy machine's. -1 where nothing is written. */
  readonly groupOf: readonly Int32Array[]
  readonly rates: readonly Rate[]
  /** Indexes into `rates`, -1 where nothing is written: by fault, by told question, by test and setup redone. */
  readonly recurs: Int32Array
  readonly trust: Int32Array
  readonly cures: readonly ReadonlyMap<number, number>[]
}

export const isFree = (chance: number) => chance > 0 && chance < 1

export function parametersOf(model: Model, trees: readonly Tree[]): Parameters {
  const declarations = trees.flatMap((tree) => tree.declarations)
  const named = <T extends { readonly kind: string; readonly name?: { readonly text: string } }>(
    kinds: readonly string[],
  ) =>
    new Map(
      declarations
        .filter((each) => kinds.includes(each.kind))
        .map((each) => [(each as unknown as T).name?.text ?? "", each as unknown as T]),
    )
  const faults = named<FaultDecl>(["fault"])
  const readings = named<ReadingDecl>(["reading", "told"])
  const setups = named<SetupDecl>(["setup"])
  const tests = named<TestDecl>(["test"])

  const rates: Rate[] = []
  const rate = (kind: Rate["kind"], name: string, chance: number, number: Quantity | undefined) =>
    number === undefined ? -1 : rates.push({ kind, name, chance, written: writtenOf(number) }) - 1

  const groups: Group[] = []
  const groupOf = model.readings.map(() => new Int32Array(model.faults.length + 1).fill(-1))
  const group = (reading: number, fault: number | undefined, clauses: readonly Clause[]) => {
    if (clauses.length === 0) return
    const rest = model.readings[reading]!.cells.flatMap((_, cell) =>
      clauses.some(({ cells }) => cells[cell]) ? [] : [cell],
    )
    const at = groups.push({ reading, ...(fault === undefined ? {} : { fault }), clauses, rest }) - 1
    groupOf[reading]![fault ?? model.faults.length] = at
  }

  model.readings.forEach(({ name, normally }, reading) => {
    if (normally) {
      const { cells, chance } = normally
      const number = readings.get(name)?.normally?.chance
      group(reading, undefined, [{ cells, chance, ...withWritten(number) }])
    }
  })
  model.faults.forEach(({ name, shows }, fault) => {
    for (const [reading, clauses] of groupBy(shows, (each) => each.reading))
      group(
        reading,
        fault,
        clauses.map(({ cells, chance, span }) => {
          const clause = faults.get(name)?.shows.find((each) => each.span.start === span.start)
          return { cells, chance, ...withWritten(clause?.chance) }
        }),
      )
  })

  const setupRates = new Map(
    model.places.flatMap(({ name, kind, cures }, place): [number, number][] =>
      kind === "setup" ? [[place, rate("cures", name, cures, setups.get(name)?.cures)]] : [],
    ),
  )
  const cures = model.tests.map(({ name, redoes }) => {
    const own = tests.get(name)?.redoes ?? []
    return new Map(
      redoes.map(({ setup, cures }): [number, number] => {
        const place = model.places[setup]!.name
        const number = own.find((each) => each.setup.text === place)?.cures
        const at = number === undefined ? (setupRates.get(setup) ?? -1) : -1
        return [setup, number === undefined ? at : rate("cures", `${place} in ${name}`, cures, number)]
      }),
    )
  })
  return {
    model,
    odds: model.faults.map(({ name }) => {
      const number = faults.get(name)?.odds
      return number && writtenOf(number)
    }),
    groups,
    groupOf,
    rates,
    recurs: Int32Array.from(model.faults, ({ name, recurs }) => {
      const often = faults.get(name)?.shows.find(({ what }) => what.text === model.complaint.name)
      return rate("recurs", name, recurs, often?.chance)
    }),
    trust: Int32Array.from(model.readings, ({ name, told, trust }) =>
      told ? rate("trust", name, trust, readings.get(name)?.trust) : -1,
    ),
    cures,
  }
}

function writtenOf({ spelling, span }: Quantity): Written {
  return { spelling, span: { ...span, end: span.start + spelling.length } }
}

function withWritten(number: Quantity | undefined): { written?: Written } {
  return number === undefined ? {} : { written: writtenOf(number) }
}
