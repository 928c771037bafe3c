import type { Span } from "../diagnostics/diagnostic.ts"
import type { ReadingIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { NormallyClause, ReadDecl, ReadingDecl, ToldDecl, TypeTree } from "../syntax/syntax-tree.ts"
import { withUnit } from "../wording/figures.ts"
import { allRead } from "./all-read.ts"
import { valuesOf } from "./bind-conditions.ts"
import { asTyped, exact, inUnit, knownUnit, percentage } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import { bindWorked } from "./bind-worked.ts"
import { type CutDomain, cellsIn, choiceDomain, type Domain, quantityDomain } from "./cells.ts"
import { checkShares } from "./check-distribution.ts"
import type { Report } from "./codes.ts"
import { distribution, type Share } from "./distribution.ts"
import {
  add,
  compare,
  divide,
  type Fraction,
  floor,
  multiply,
  spell,
  subtract,
  toNumber,
  whole,
} from "./fraction.ts"
import { DEFAULT_STEPS, type ExactGrid, gridOf, MOST_VALUES } from "./grid.ts"
import type { Reading, Threshold, Worked } from "./model.ts"
import type { Scope } from "./scope.ts"
import { unitOf } from "./units.ts"

const FORM = 'NAME "question" TYPE'

/** A reading, once its cells are known. */
export type ReadingDraft = (cut: CutDomain) => Reading

/** What a reading can come out as; undefined if its type is broken, with the reason reported. */
export function bindDomain(decl: ReadingDecl, report: Report): Domain | undefined {
  const help = `${decl.kind} ${FORM}\`, where TYPE is \`yes or no\`, \`one of a, b\` or \`in UNIT from N to N`
  const type = required(decl, decl.type, "its type", help, report)
  if (type === undefined) return undefined
  if (type.kind === "yes or no") return choiceDomain(["yes", "no"])
  return type.kind === "one of" ? oneOf(decl, type, report) : quantity(decl, type, report)
}

/** The rest of a reading or told question: its `normally`, its trust. Undefined if that cannot be. */
export function bindReading(index: ReadingIndex, scope: Scope): ReadingDraft | undefined {
  const { report } = scope
  const decl = at(scope.readings, index)
  const name = required(decl, decl.name, "its name", `${decl.kind} ${FORM}`, report)
  const question = required(decl, decl.question, "its question", `${decl.kind} ${FORM}`, report)
  const told = decl.kind === "told"
  const { type: _, normally: clause, pictures, ...rest } = decl
  const pictured = scope.pictures.of(pictures)
  const said = rest.kind === "told" ? bindTrust(rest, report) : undefined
  const worked = decl.kind === "told" ? undefined : workedOut(decl, scope.domains[index], report)
  const trust = said === undefined ? 1 : toNumber(said)
  const usual = normally(index, clause, scope)
  const domain = scope.domains[index]
  if (name === undefined || question === undefined || domain === undefined) return undefined
  return (cut) => {
    return {
      name: name.text,
      question: question.value,
      told,
      trust,
      ...(domain.grid === undefined ? {} : { grid: rounded(domain.grid, domain.thresholds) }),
      ...(worked === undefined ? {} : { worked }),
      cells: cut.cells,
      healthy: distribution(usual === undefined ? [] : [usual.share], cut),
      ...(usual === undefined
        ? {}
        : {
            normally: {
              cells: cellsIn(cut, usual.share.intervals),
              chance: toNumber(usual.share.chance),
              span: usual.span,
            },
          }),
      ...pictured,
      span: decl.span,
    }
  }
}

function workedOut(decl: ReadDecl, domain: Domain | undefined, report: Report): Worked | undefined {
  const { type: _, normally: __, inputs: ___, gives: ____, pictures: _____, ...rest } = decl
  allRead(rest)
  return bindWorked(decl, domain?.grid && unitOf(domain.grid.unit), report)
}

/** Of a told question; what it `takes` is read where asking it is bound. */
function bindTrust(
  { trust, takes: _, ...head }: Omit<ToldDecl, "type" | "normally" | "pictures">,
  report: Report,
) {
  allRead(head)
  return percentage(trust, "trust", report)
}

function normally(
  index: ReadingIndex,
  clause: NormallyClause | undefined,
  scope: Scope,
): { share: Share; span: ReadingDecl["span"] } | undefined {
  const decl = at(scope.readings, index)
  if (clause === undefined) return undefined
  const chance = percentage(
    required(decl, clause.chance, "the percentage of its `normally`", "normally CONDITION N%", scope.report),
    "normally",
    scope.report,
  )
  const intervals = valuesOf(clause.condition, index, scope)
  const domain = scope.domains[index]
  if (chance === undefined || intervals === undefined || domain === undefined) return undefined
  const share = { intervals, chance }
  checkShares(
    [{ ...share, clause: "normally", span: clause.span, condition: clause.condition.span }],
    index,
    scope,
  )
  return { share, span: clause.span }
}

function rounded(grid: ExactGrid, thresholds: readonly Threshold[]): NonNullable<Reading["grid"]> {
  const { unit, count } = grid
  return { unit, from: toNumber(grid.from), to: toNumber(grid.to), by: toNumber(grid.by), count, thresholds }
}

function oneOf(
  decl: ReadingDecl,
  type: Extract<TypeTree, { kind: "one of" }>,
  report: Report,
): Domain | undefined {
  if (required(decl, type.values[0], "the values of its `one of`", "one of a, b, c", report) === undefined)
    return undefined
  const values = new Map<string, Span>()
  for (const { text, span } of type.values) {
    const first = values.get(text)
    if (first !== undefined) {
      report.say(
        "doubled-value",
        span,
        `\`${text}\` is a value of \`${decl.name?.text ?? "this"}\` already.`,
        {
          labels: [{ span: first, text: "first here" }],
          help: "Remove it, or give it another name.",
        },
      )
    } else values.set(text, span)
  }
  return choiceDomain([...values.keys()])
}

function quantity(
  decl: ReadingDecl,
  type: Extract<TypeTree, { kind: "quantity" }>,
  report: Report,
): Domain | undefined {
  const form = "in UNIT from N to N by N"
  const name = required(decl, type.unit, "the unit of its quantity", form, report)
  const low = required(decl, type.from, "the start of its range", form, report)
  const high = required(decl, type.to, "the end of its range", form, report)
  const target = name && knownUnit(name, report)
  if (target === undefined || low === undefined || high === undefined) return undefined
  const whose = `\`${decl.name?.text ?? "This"}\` is read in \`${target.symbol}\``
  // In its own range a reading's numbers may leave the unit out; a step is a difference, with no zero point.
  const read = (q: typeof low, sense: "reading" | "difference"): Fraction | undefined =>
    q.unit === undefined ? exact(q, report) : inUnit(q, target, sense, whose, report)
  const from = read(low, "reading")
  const to = read(high, "reading")
  const by = type.by === undefined ? undefined : read(type.by, "difference")
  if (from === undefined || to === undefined || (type.by !== undefined && by === undefined)) return undefined
  if (compare(from, to) >= 0) {
    return report.say(
      "reversed-range",
      type.span,
      `\`from ${asTyped(low)}\` isn't below \`to ${asTyped(high)}\`.`,
      {
        help: "A range goes from its lowest value to its highest.",
      },
    )
  }
  const step = by ?? divide(subtract(to, from), whole(DEFAULT_STEPS))
  return steps(target.symbol, from, to, step, type, report)
}

function steps(
  symbol: string,
  from: Fraction,
  to: Fraction,
  by: Fraction,
  type: Extract<TypeTree, { kind: "quantity" }>,
  report: Report,
): Domain | undefined {
  const span = type.by?.span ?? type.span
  const spelling = type.by === undefined ? spell(by) : asTyped(type.by)
  if (by.top <= 0n) {
    return report.say("uneven-step", span, `A step of \`${spelling}\` isn't above zero.`, {
      help: "`by` is the resolution of the meter: a number above 0.",
    })
  }
  const range = `${spell(from)} to ${withUnit(spell(to), symbol)}`
  const count = floor(divide(subtract(to, from), by)) + 1n
  if (count > BigInt(MOST_VALUES)) {
    return report.say(
      "too-fine",
      span,
      `${range} by \`${spelling}\` gives ${count} values, more than ${MOST_VALUES}.`,
      {
        help: "Give a coarser `by` or a narrower range: `by` is the resolution of the meter.",
      },
    )
  }
  const grid = gridOf(symbol, from, to, by)
  if (grid !== undefined) return quantityDomain(grid)
  const last = add(from, multiply(by, whole(count - 1n)))
  return report.say("uneven-step", span, `${range} is not a whole number of steps of \`${spelling}\`.`, {
    help: `End the range on a step, at ${spell(last)} or ${spell(add(last, by))} ${symbol}, or change \`by\`.`,
  })
}
