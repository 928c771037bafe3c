/**
 * The numbers of a ruleset that cases can teach, each with its place in the source. A number that is not written, or is
 * written 0 % or 100 %, is hard: an author's "always" and "never" are not for cases to wear down.
 */

import type { Span } from "../../diagnostics/diagnostic.ts"
import type { CellSet, Model } from "../../model/model.ts"
import type { CellIndex, FaultIndex, PlaceIndex, ReadingIndex, Table, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import type {
  Declaration,
  FaultDecl,
  Quantity,
  ReadingDecl,
  RuleDecl,
  RulesetDecl,
  SetupDecl,
  TestDecl,
  Tree,
} from "../../syntax/syntax-tree.ts"
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
  readonly kind: "shows" | "normally"
  /** What it is of, in the author's names. */
  readonly name: string
  readonly reading: ReadingIndex
  readonly fault?: FaultIndex
  readonly clauses: readonly Clause[]
  /** The cells that no clause covers; empty where they cover all. */
  readonly rest: readonly CellIndex[]
}

export type RateKind = "recurs" | "trust" | "cures" | "eased" | "rule"

/** A chance that stands alone: of a fault seen in one try, an account that holds, a redoing that cures, a rule that is right. */
export interface Rate {
  readonly kind: RateKind
  /** What it is of, in the author's names. */
  readonly name: string
  readonly chance: number
  readonly written?: Written
}

export interface Parameters {
  readonly model: Model
  /** By fault; no number where the clause is missing. */
  readonly odds: readonly (Written | undefined)[]
  /** `second fault` and `unlisted`, where they are written. */
  readonly second?: Written
  readonly unlisted?: Written
  readonly groups: readonly Group[]
  /** By reading, then by fault; the last is the healthy machine's. -1 where nothing is written. */
  readonly groupOf: Table<ReadingIndex, Int32Array>
  readonly rates: readonly Rate[]
  /** Indexes into `rates`, -1 where nothing is written. */
  readonly recurs: Int32Array
  readonly trust: Int32Array
  readonly rules: Int32Array
  /** By place: of a setup's own `redo cures`. */
  readonly setups: Int32Array
  /** By test and setup redone. */
  readonly cures: Table<TestIndex, ReadonlyMap<PlaceIndex, number>>
  /** By fault and setup. */
  readonly eased: Table<FaultIndex, ReadonlyMap<PlaceIndex, number>>
}

export const isFree = (chance: number) => chance > 0 && chance < 1

export function parametersOf(model: Model, trees: readonly Tree[]): Parameters {
  const text = new Declarations(trees)
  const rates = new Rates()
  const setups = Int32Array.from(model.places, ({ name, kind, cures }) =>
    kind === "setup" ? rates.add("cures", name, cures, text.setups.get(name)?.cures) : -1,
  )
  return {
    model,
    odds: model.faults.map(({ name }) => {
      const number = text.faults.get(name)?.odds
      return number && writtenOf(number)
    }),
    ...(text.ruleset?.second ? { second: writtenOf(text.ruleset.second) } : {}),
    ...(text.ruleset?.unlisted ? { unlisted: writtenOf(text.ruleset.unlisted) } : {}),
    ...groupsOf(model, text),
    setups,
    cures: model.tests.map(({ name, redoes }) => testCures(model, text, rates, setups, name, redoes)),
    eased: model.faults.map(({ name, eased }) => {
      const clauses = text.faults.get(name)?.eased ?? []
      return new Map(
        eased.map(({ setup, chance }) => {
          const place = at(model.places, setup).name
          const number = clauses.find((clause) => clause.name.text === place)?.chance
          return [setup, rates.add("eased", `${name} by ${place}`, chance, number)]
        }),
      )
    }),
    recurs: Int32Array.from(model.faults, ({ name, recurs }) => {
      const often = text.faults.get(name)?.shows.find(({ what }) => what.text === model.complaint.name)
      return rates.add("recurs", name, recurs, often?.chance)
    }),
    trust: Int32Array.from(model.readings, ({ name, told, trust }) =>
      told ? rates.add("trust", name, trust, text.trust(name)) : -1,
    ),
    rules: Int32Array.from(model.rules, ({ name, line, chance, span }) => {
      const number = text.rules.get(spanKey(span))?.chance
      return rates.add("rule", name ?? `line ${line}`, chance, number)
    }),
    rates: rates.all,
  }
}

/** The declarations by their names, rules by their place. */
class Declarations {
  readonly ruleset: RulesetDecl | undefined
  readonly faults = new Map<string, FaultDecl>()
  readonly readings = new Map<string, ReadingDecl>()
  readonly setups = new Map<string, SetupDecl>()
  readonly tests = new Map<string, TestDecl>()
  readonly rules = new Map<string, RuleDecl>()

  constructor(trees: readonly Tree[]) {
    for (const each of trees.flatMap((tree) => tree.declarations)) this.#add(each)
    this.ruleset = trees
      .flatMap((tree) => tree.declarations)
      .find((each): each is RulesetDecl => each.kind === "ruleset")
  }

  /** Of a told question. */
  trust(name: string): Quantity | undefined {
    const declaration = this.readings.get(name)
    return declaration?.kind === "told" ? declaration.trust : undefined
  }

  #add(each: Declaration): void {
    const name = "name" in each ? (each.name?.text ?? "") : ""
    if (each.kind === "fault") this.faults.set(name, each)
    else if (each.kind === "reading" || each.kind === "told") this.readings.set(name, each)
    else if (each.kind === "setup") this.setups.set(name, each)
    else if (each.kind === "test") this.tests.set(name, each)
    else if (each.kind === "rule") this.rules.set(spanKey(each.span), each)
  }
}

const spanKey = ({ file, start }: Span) => `${file}:${start}`

class Rates {
  readonly all: Rate[] = []

  /** Index of the rate; -1 where no number is written. */
  add(kind: RateKind, name: string, chance: number, number: Quantity | undefined): number {
    return number === undefined ? -1 : this.all.push({ kind, name, chance, written: writtenOf(number) }) - 1
  }
}

function testCures(
  model: Model,
  text: Declarations,
  rates: Rates,
  setups: Int32Array,
  name: string,
  redoes: Model["tests"][number]["redoes"],
): Map<PlaceIndex, number> {
  const clauses = text.tests.get(name)?.redoes ?? []
  return new Map(
    redoes.map(({ setup, cures }) => {
      const place = at(model.places, setup).name
      const number = clauses.find((each) => each.name.text === place)?.chance
      const own = number && rates.add("cures", `${place} in ${name}`, cures, number)
      return [setup, own ?? at(setups, setup)]
    }),
  )
}

function groupsOf(model: Model, text: Declarations): Pick<Parameters, "groups" | "groupOf"> {
  const groups: Group[] = []
  const groupOf = model.readings.map(() => new Int32Array(model.faults.length + 1).fill(-1))
  const add = (reading: ReadingIndex, fault: FaultIndex | undefined, clauses: readonly Clause[]) => {
    if (clauses.length === 0) return
    const { name, cells } = at(model.readings, reading)
    const rest = cells.flatMap((_, cell) => (clauses.some((each) => each.cells[cell]) ? [] : [cell]))
    const who =
      fault === undefined
        ? { kind: "normally" as const, name }
        : { kind: "shows" as const, name: `${at(model.faults, fault).name} on ${name}`, fault }
    at(groupOf, reading)[fault ?? model.faults.length] = groups.push({ ...who, reading, clauses, rest }) - 1
  }
  model.readings.forEach(({ name, normally }, reading) => {
    if (!normally) return
    const { cells, chance } = normally
    const number = text.readings.get(name)?.normally?.chance
    add(reading, undefined, [{ cells, chance, ...withWritten(number) }])
  })
  model.faults.forEach(({ name, shows }, fault) => {
    for (const [reading, clauses] of groupBy(shows, (each) => each.reading)) {
      const written = clauses.map(({ cells, chance, span }) => {
        const clause = text.faults.get(name)?.shows.find((each) => each.span.start === span.start)
        return { cells, chance, ...withWritten(clause?.chance) }
      })
      add(reading, fault, written)
    }
  })
  return { groups, groupOf }
}

function writtenOf({ spelling, span }: Quantity): Written {
  return { spelling, span: { ...span, end: span.start + spelling.length } }
}

function withWritten(number: Quantity | undefined): { written?: Written } {
  return number === undefined ? {} : { written: writtenOf(number) }
}
