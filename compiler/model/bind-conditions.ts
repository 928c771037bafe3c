import { replace } from "../diagnostics/collector.ts"
import { closest } from "../diagnostics/suggest.ts"
import type { ReadingIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { Condition as ConditionTree, Name, Quantity } from "../syntax/syntax-tree.ts"
import { withUnit } from "../wording/figures.ts"
import { listedNames } from "../wording/sentence.ts"
import { asTyped, inUnit } from "./bind-quantities.ts"
import { type CutDomain, cellsIn, complementIn, type Domain, markCuts } from "./cells.ts"
import { compare, type Fraction, spell, toNumber } from "./fraction.ts"
import { type ExactGrid, type GridPosition, positionOf } from "./grid.ts"
import { type Intervals, intersection, normalized, union } from "./intervals.ts"
import type { Condition } from "./model.ts"
import type { Scope } from "./scope.ts"
import { unit, unitOf } from "./units.ts"

type Compare = Extract<ConditionTree, { kind: "compare" }>

/** A condition over values. It becomes one over cells by `overCells`, once every condition has been read and marked. */
export type ValueCondition =
  | {
      readonly kind: "in"
      readonly reading: ReadingIndex
      readonly intervals: Intervals
      readonly span: ConditionTree["span"]
    }
  | {
      readonly kind: "and" | "or"
      readonly items: readonly ValueCondition[]
      readonly span: ConditionTree["span"]
    }
  | { readonly kind: "not"; readonly item: ValueCondition; readonly span: ConditionTree["span"] }

/** A condition that names its readings, as in rules. Undefined where something in it is wrong, all of it reported. */
export function bindCondition(tree: ConditionTree, scope: Scope): ValueCondition | undefined {
  const { span } = tree
  if (tree.kind === "compare") {
    if (tree.reading === undefined) return scope.report.giveUp()
    const entry = scope.names.resolve(tree.reading, ["reading", "told"], "A condition")
    if (entry === undefined) return undefined
    const intervals = comparison(tree, entry.index, scope)
    return intervals && { kind: "in", reading: entry.index, intervals, span }
  }
  if (tree.kind === "not") {
    const item = bindCondition(tree.item, scope)
    return item && { kind: "not", item, span }
  }
  const items = tree.items.map((item) => bindCondition(item, scope))
  return items.every((item) => item !== undefined) ? { kind: tree.kind, items, span } : undefined
}

/** A condition on the one reading that stands outside of it, as in `shows` and `normally`: the values that meet it. */
export function valuesOf(tree: ConditionTree, reading: ReadingIndex, scope: Scope): Intervals | undefined {
  if (tree.kind === "compare") {
    const again = tree.reading
    if (again === undefined || again.text === scope.readings[reading]?.name?.text)
      return comparison(tree, reading, scope)
    return scope.report.say("wrong-kind", again.span, `\`${again.text}\` can't be named here.`, {
      help: `This clause speaks of \`${scope.readings[reading]?.name?.text}\` alone: leave the reading's name out.`,
    })
  }
  const domain = scope.domains[reading]
  if (tree.kind === "not") {
    const item = valuesOf(tree.item, reading, scope)
    return item && domain && complementIn(domain, item)
  }
  const items = tree.items.map((item) => valuesOf(item, reading, scope))
  if (!items.every((item) => item !== undefined)) return undefined
  return items.reduce(tree.kind === "and" ? intersection : union)
}

/** A bindCondition over the cells that its readings were cut into. */
export function overCells(from: ValueCondition, cuts: Table<ReadingIndex, CutDomain>): Condition {
  const { span } = from
  if (from.kind === "in")
    return { kind: "in", reading: from.reading, cells: cellsIn(at(cuts, from.reading), from.intervals), span }
  if (from.kind === "not") return { kind: "not", item: overCells(from.item, cuts), span }
  return { kind: from.kind, items: from.items.map((item) => overCells(item, cuts)), span }
}

function comparison(tree: Compare, reading: ReadingIndex, scope: Scope): Intervals | undefined {
  const domain = scope.domains[reading]
  if (domain === undefined) return scope.report.giveUp()
  const name = scope.readings[reading]?.name?.text ?? ""
  const choice = tree.comparison === "is" || tree.comparison === "is not" || tree.comparison === "is one of"
  if (domain.grid === undefined)
    return choice ? named(tree, domain, name, scope) : notAChoice(tree, domain, name, scope)
  return choice
    ? notAQuantity(tree, domain.grid, name, scope)
    : measured(tree, domain, domain.grid, reading, scope)
}

function named(tree: Compare, domain: Domain, name: string, scope: Scope): Intervals | undefined {
  if (tree.values.length === 0) return scope.report.giveUp()
  const values = domain.values ?? []
  const met = new Set<number>()
  let sound = true
  for (const value of tree.values) {
    const index = values.indexOf(value.text)
    if (index < 0) sound = unknownValue(value, values, name, scope)
    else if (met.has(index)) {
      scope.report.say("doubled-item", value.span, `\`${value.text}\` is listed twice.`, {
        help: "Remove one of the two.",
      })
    } else met.add(index)
  }
  if (!sound) return undefined
  const intervals = normalized([...met].map((index) => [index, index]))
  return tree.comparison === "is not" ? complementIn(domain, intervals) : intervals
}

function unknownValue(value: Name, values: readonly string[], name: string, scope: Scope): false {
  const near = closest(value.text, values)
  scope.report.say("unknown-value", value.span, `\`${value.text}\` isn't a value of \`${name}\`.`, {
    help: `\`${name}\` is ${listedNames(values, "or")}.`,
    edits: near === undefined ? [] : [replace(value.span, near)],
  })
  return false
}

function notAChoice(tree: Compare, domain: Domain, name: string, scope: Scope): undefined {
  return scope.report.say(
    "type-mismatch",
    tree.span,
    `\`${name}\` isn't a quantity and can't be compared with \`${tree.comparison}\`.`,
    {
      help: `Compare it with \`is\`, \`is not\` or \`is one of\`: \`${name}\` is ${listedNames(domain.values ?? [], "or")}.`,
    },
  )
}

function notAQuantity(tree: Compare, grid: ExactGrid, name: string, scope: Scope): undefined {
  return scope.report.say(
    "type-mismatch",
    tree.span,
    `\`${name}\` is a quantity in \`${grid.unit}\` and can't be compared with \`${tree.comparison}\`.`,
    {
      help: "Compare it with `below`, `above`, `at least`, `at most`, `between … and …` or `outside … and …`.",
    },
  )
}

function measured(
  tree: Compare,
  domain: Domain,
  grid: ExactGrid,
  reading: ReadingIndex,
  scope: Scope,
): Intervals | undefined {
  const pair = tree.comparison === "between" || tree.comparison === "outside"
  if (tree.numbers.length < (pair ? 2 : 1)) return scope.report.giveUp()
  const [first, second] = tree.numbers as [Quantity, Quantity?]
  const high = second && limit(second, second.unit, grid, reading, scope)
  // The first number of a pair may leave its unit to the second: what is wrong with the unit is said there, once.
  const said = first.unit ?? second?.unit
  if (first.unit === undefined && second !== undefined && !converts(second.unit, grid)) return undefined
  const low = limit(first, said, grid, reading, scope)
  if (low === undefined || (second !== undefined && high === undefined)) return undefined
  if (high !== undefined && compare(low, high) > 0) return reversed(tree, scope)
  const above = tree.comparison === "above" || tree.comparison === "at most"
  const from = recordLimit(domain, grid, low, first, above)
  const to = high === undefined || second === undefined ? from : recordLimit(domain, grid, high, second, true)
  const intervals = normalized(intervalsOf(tree.comparison, from, to, grid.count - 1))
  markCuts(domain, intervals)
  return intervals
}

/** Keeps a limit for labels and for the checks; `above`: it cuts the grid after its own value, not before. */
function recordLimit(
  domain: Domain,
  grid: ExactGrid,
  value: Fraction,
  { span }: Quantity,
  above: boolean,
): GridPosition {
  const spot = positionOf(grid, value)
  if (spot.after > spot.from) domain.limits.add(spot.from)
  domain.thresholds.push({ at: toNumber(value), cut: above ? spot.after : spot.from, span })
  return spot
}

function converts(name: Name | undefined, grid: ExactGrid): boolean {
  return name !== undefined && unit(name.text)?.dimension === unit(grid.unit)?.dimension
}

/** A number of a comparison in the reading's own unit, within its range. `said`: the unit that holds for it. */
function limit(
  number: Quantity,
  said: Name | undefined,
  grid: ExactGrid,
  reading: ReadingIndex,
  scope: Scope,
): Fraction | undefined {
  const name = scope.readings[reading]?.name?.text ?? ""
  const value = inUnit(
    number,
    unitOf(grid.unit),
    "reading",
    `\`${name}\` is read in \`${grid.unit}\``,
    scope.report,
    said,
  )
  if (value === undefined || (compare(value, grid.from) >= 0 && compare(value, grid.to) <= 0)) return value
  const converted = said !== undefined && said.text !== grid.unit
  const type = scope.readings[reading]?.type
  const isKelvin = converted && [grid.unit, said.text].includes("K")
  const zeros = unit(grid.unit)?.dimension === "temperature" && isKelvin ? " (0 degC is 273.15 K)" : ""
  return scope.report.say(
    "out-of-range",
    number.span,
    `\`${asTyped(number)}\`${converted ? `, which is ${withUnit(spell(value), grid.unit)},` : ""} is outside the range of \`${name}\`.`,
    {
      labels: type === undefined ? [] : [{ span: type.span, text: "the range is declared here" }],
      help: `\`${name}\` goes from ${spell(grid.from)} to ${withUnit(spell(grid.to), grid.unit)}${zeros}: correct the number or widen the range.`,
    },
  )
}

function reversed(tree: Compare, scope: Scope): undefined {
  const [low, high] = tree.numbers as [Quantity, Quantity]
  const first = low.unit === undefined ? high.spelling : asTyped(high)
  const second =
    low.unit === undefined && high.unit !== undefined ? `${low.spelling} ${high.unit.text}` : asTyped(low)
  return scope.report.say(
    "reversed-range",
    { file: low.span.file, start: low.span.start, end: high.span.end },
    `\`${asTyped(low)}\` is above \`${asTyped(high)}\`.`,
    {
      help: `Write the smaller number first: \`${tree.comparison} ${first} and ${second}\`.`,
      edits: [
        {
          title: "Swap the two numbers",
          safe: false,
          changes: [
            { span: low.span, text: first },
            { span: high.span, text: second },
          ],
        },
      ],
    },
  )
}

/** Ends included or excluded as the reference says, "Conditions"; `end` is the last index. */
function intervalsOf(
  comparison: Compare["comparison"],
  low: GridPosition,
  high: GridPosition,
  end: number,
): Intervals {
  switch (comparison) {
    case "below":
      return [[0, low.from - 1]]
    case "at least":
      return [[low.from, end]]
    case "at most":
      return [[0, low.after - 1]]
    case "above":
      return [[low.after, end]]
    case "outside":
      return [
        [0, low.from - 1],
        [high.after, end],
      ]
    default:
      return [[low.from, high.after - 1]]
  }
}
