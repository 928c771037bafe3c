import { readCondition, readValues } from "./conditions.ts"
import { GIVE_UP } from "./cursor.ts"
import type { Span } from "./finding.ts"
import type { Terms } from "./terms.ts"
import type {
  Declaration,
  FaultDecl,
  Name,
  PartDecl,
  ProofDecl,
  ReadingDecl,
  RulesetDecl,
  SetupDecl,
  ShowsClause,
  TestDecl,
  TypeTree,
} from "./tree.ts"

export type Draft<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer E)[] ? E[] : T[K] }

/**
 * A clause: `read` goes on behind its first word, which is the last token taken, and writes into the declaration what
 * it has as soon as it has it.
 */
export interface Clause<D> {
  readonly read: (c: Terms, into: D) => void
  readonly repeats?: boolean
}

/** The clause that is one field of the declaration. */
function set<D, K extends keyof D>(field: K, read: (c: Terms) => D[K]): Clause<D> {
  return {
    read: (c, into) => {
      into[field] = read(c)
    },
  }
}

/** The clauses of a kind of declaration by their first words; words of one clause share one object. */
export interface Clauses<D> {
  readonly byWord: Readonly<Record<string, Clause<D>>>
  readonly words: readonly string[]
  /** Words that surely begin a clause after a mistake too: `yes` and `one` may be values. */
  readonly signs: readonly string[]
}

function clauses<D extends Declaration>(byWord: Record<string, Clause<Draft<D>>>): Clauses<Draft<D>> {
  const words = Object.keys(byWord)
  return { byWord, words, signs: words.filter((word) => word !== "yes" && word !== "one") }
}

export const RULESET = clauses<RulesetDecl>({
  version: set("version", (c) => c.text("a version in quotes", 'version "1.2.0"')),
  money: {
    read: (c, d) => {
      const token = c.token
      if (!c.atName) c.missing("a currency code", "money EUR")
      c.take()
      d.money = { text: token.text, span: c.spanOf(token) }
    },
  },
  bench: {
    read: (c, d) => {
      d.bench = c.plain("an amount", "bench 48 per hour")
      c.keyword("per", "bench 48 per hour")
      c.keyword("hour", "bench 48 per hour")
    },
  },
  comeback: {
    read: (c, d) => {
      c.keyword("costs", "comeback costs 90")
      d.comeback = c.plain("an amount", "comeback costs 90")
    },
  },
  handover: {
    read: (c, d) => {
      c.keyword("costs", "handover costs 150")
      d.handover = c.plain("an amount", "handover costs 150")
    },
  },
  trust: set("trust", (c) => c.percent("a percentage", "trust 90%")),
})

function behind<D extends { behind: Name[] }>(c: Terms, d: D): void {
  c.names(d.behind, "a setup", "behind rear_cover")
}

export const PART = clauses<PartDecl>({
  price: set("price", (c) => c.plain("a price", "price 70")),
  spare: set("spare", (c) => c.spanOf(c.last)),
  behind: { read: behind },
})

export const SETUP = clauses<SetupDecl>({
  of: set("of", (c) => c.name("a part", "of panel")),
  behind: { read: behind },
  redo: {
    read: (c, d) => {
      c.keyword("cures", "redo cures 85%")
      d.cures = c.percent("a percentage", "redo cures 85%")
    },
  },
})

export const FAULT = clauses<FaultDecl>({
  in: set("place", (c) => c.name("a part or setup", "in supply")),
  odds: set("odds", (c) => c.plain("a number", "odds 6")),
  shows: { read: (c, d) => void d.shows.push(readShows(c)), repeats: true },
  remedy: set("remedy", (c) => c.text("a text in quotes", 'remedy "Seat both ends."')),
  fix: { read: readFix, repeats: true },
})

function readShows(c: Terms): ShowsClause {
  const start = c.last.start
  const what = c.name("a reading, or the complaint,", "shows rail below 22.7 V 90%")
  // Without a condition it is the complaint that comes and goes.
  const condition = c.token.kind === "number" ? undefined : readCondition(c, true)
  const chance = c.token.kind === "number" ? c.percent("a percentage", "90%") : undefined
  return {
    what,
    ...(condition === undefined ? {} : { condition }),
    ...(chance === undefined ? {} : { chance }),
    span: c.span(start),
  }
}

/** Two clauses begin with `fix`, and each may stand once. */
function readFix(c: Terms, d: Draft<FaultDecl>): void {
  const fix = c.last
  const word = c.accept("costs") ? "costs" : c.accept("takes") ? "takes" : c.slip(["costs", "takes"])
  if (word === undefined) c.missing("`costs` or `takes`", "fix takes 15 min")
  const doubled = word === "costs" ? d.fixCosts : d.fixTakes
  if (doubled !== undefined) c.doubled(`fix ${word}`, c.span(fix.start), doubled.span)
  if (word === "costs") d.fixCosts = c.plain("an amount", "fix costs 12")
  else d.fixTakes = c.quantity("a time", "fix takes 15 min")
}

const TYPE: Clause<Draft<ReadingDecl>> = set("type", (c) => readType(c))

function readType(c: Terms): TypeTree {
  const start = c.last.start
  if (c.last.key === "yes") {
    c.keyword("or", "yes or no")
    c.keyword("no", "yes or no")
    return { kind: "yes or no", span: c.span(start) }
  }
  if (c.last.key === "one") {
    c.keyword("of", "one of dark, dim, bright")
    return { kind: "one of", values: readValues(c, "one of dark, dim, bright"), span: c.span(start) }
  }
  const example = "in V from 0 to 30 by 0.01"
  const unit = c.token
  if (unit.key !== "%" && (unit.kind !== "word" || unit.key !== "")) c.missing("a unit", example)
  c.take()
  c.keyword("from", example)
  const from = c.quantity("a number", example)
  c.keyword("to", example)
  const to = c.quantity("a number", example)
  const by = c.accept("by") ? c.quantity("a number", example) : undefined
  const name = { text: unit.text, span: c.spanOf(unit) }
  return { kind: "quantity", unit: name, from, to, ...(by === undefined ? {} : { by }), span: c.span(start) }
}

export const TOLD = clauses<ReadingDecl>({
  yes: TYPE,
  one: TYPE,
  in: TYPE,
  trust: set("trust", (c) => c.percent("a percentage", "trust 80%")),
  takes: set("takes", (c) => c.quantity("a time", "takes 1 min")),
})

export const READING = clauses<ReadingDecl>({
  yes: TYPE,
  one: TYPE,
  in: TYPE,
  normally: {
    read: (c, d) => {
      const start = c.last.start
      const condition = readCondition(c, true)
      d.normally = { condition, span: c.span(start) }
      if (c.token.kind !== "number") c.complain("its percentage", "normally is yes 98%")
      else d.normally = { condition, chance: c.percent("a percentage", "98%"), span: c.span(start) }
    },
  },
})

export const TEST = clauses<TestDecl>({
  reads: {
    read: (c, d) => {
      d.kinds.push({ text: "reads", span: c.spanOf(c.last) })
      c.names(d.reads, "a reading", "reads rail")
    },
  },
  swaps: {
    read: (c, d) => {
      d.kinds.push({ text: "swaps", span: c.spanOf(c.last) })
      d.swaps = c.name("a part", "swaps panel")
    },
  },
  redoes: {
    read: (c, d) => {
      d.kinds.push({ text: "redoes", span: c.spanOf(c.last) })
      do {
        const setup = c.name("a setup", "redoes ribbon 85%")
        d.redoes.push(
          c.token.kind === "number" ? { setup, cures: c.percent("a percentage", "85%") } : { setup },
        )
      } while (c.accept(",") || c.forgottenComma())
    },
  },
  takes: set("takes", (c) => c.quantity("a time", "takes 4 min")),
  costs: set("costs", (c) => c.plain("an amount", "costs 3")),
  risks: {
    read: (c, d) => {
      const part = c.name("a part", "risks panel 2%")
      d.risks.push({ part, chance: c.percent("a percentage", "risks panel 2%") })
    },
    repeats: true,
  },
  needs: {
    read: (c, d) => void d.needs.push(c.text("a tool in quotes", 'needs "multimeter"')),
    repeats: true,
  },
  power: {
    read: (c, d) => {
      const start = c.last.start
      const on = c.accept("on")
      if (!on && !c.accept("off")) c.missing("`on` or `off`", "power off")
      d.power = { on, span: c.span(start) }
    },
  },
  after: { read: (c, d) => c.names(d.after, "a test", "after meter_rail") },
  only: {
    read: (c, d) => {
      c.keyword("if", "only if glow is yes")
      d.onlyIf = readCondition(c, false)
    },
  },
  tries: set("tries", (c) => c.plain("a number", "tries 3")),
  caution: {
    read: (c, d) => void d.cautions.push(c.text("a text in quotes", 'caution "Hot."')),
    repeats: true,
  },
})

export const PROOF = clauses<ProofDecl>({
  times: set("times", (c) => c.plain("a number", "times 5")),
  takes: set("takes", (c) => c.quantity("a time", "takes 2 min")),
  expects: {
    read: (c, d) => {
      const start = c.last.start
      const reading = c.name("a reading", "expects rail above 22.8 V")
      const condition = readCondition(c, true)
      d.expects = { reading, condition, span: c.span(start) }
    },
  },
  for: { read: (c, d) => c.names(d.places, "a part or setup", "for panel, ribbon") },
})

/** For declarations that are whole with their head. */
export const NONE = clauses<never>({})

/** Reads clauses to the end of the declaration. After a mistake it goes on at the next word that begins a clause. */
export function readClauses<D>(c: Terms, { byWord, words, signs }: Clauses<D>, into: D): void {
  const seen = new Map<Clause<D>, Span>()
  while (!c.done) {
    try {
      const word = c.token.key in byWord ? c.token.key : undefined
      if (word !== undefined) c.accept(word)
      const known = word ?? c.slip(words) ?? c.strange()
      const clause = byWord[known]!
      const here = c.spanOf(c.last)
      const before = seen.get(clause)
      if (before === undefined && !clause.repeats) seen.set(clause, here)
      if (before !== undefined) c.doubled(known, here, before)
      // The second of two is read too, for its own mistakes, into a copy that nobody sees.
      clause.read(c, before === undefined ? into : structuredClone(into))
    } catch (thrown) {
      if (thrown !== GIVE_UP) throw thrown
      c.whole = false
      c.skipTo(signs)
    }
  }
}
