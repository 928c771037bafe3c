import type {
  Condition,
  Expression,
  FaultsTree,
  InputTree,
  Name,
  Quantity,
  Text,
  TypeTree,
} from "../syntax-tree.ts"

/**
 * A stretch of printed text that no line break divides. `at`: where it began in the source, which tells the comments
 * that follow it; -1 if the tree was not read from a source.
 */
export interface Atom {
  readonly text: string
  readonly at: number
}

/** A text literal. It has no escape for a line break, so one becomes a space. */
export function textOf({ value }: Pick<Text, "value">): string {
  return `"${value.replace(/[\\"]/g, "\\$&").replace(/[\r\n]+/g, " ")}"`
}

export function quantityOf({ spelling, unit }: Quantity): string {
  if (unit === undefined) return spelling
  return unit.text === "%" ? `${spelling}%` : `${spelling} ${unit.text}`
}

/** `behind a, b`, with a break allowed after each comma. */
export function listOf(
  before: string,
  names: readonly Name[],
  after: (i: number) => string = () => "",
): Atom[] {
  return names.map((name, i) => ({
    text: `${i === 0 ? before : ""}${name.text}${after(i)}${i < names.length - 1 ? "," : ""}`,
    at: name.span.start,
  }))
}

const BINDING = { or: 1, and: 2, not: 3, compare: 4 }

/** A condition with the fewest parentheses; a break is allowed before each `and` and `or`. */
export function conditionOf(condition: Condition, before = "", after = ""): Atom[] {
  switch (condition.kind) {
    case "compare":
      return [{ text: `${before}${comparisonOf(condition)}${after}`, at: condition.span.start }]
    case "not":
      return within(condition.item, BINDING.not, `${before}not `, after)
    default: {
      const { kind, items } = condition
      const last = items.length - 1
      return items.flatMap((item, i) =>
        within(item, BINDING[kind], i === 0 ? before : `${kind} `, i === last ? after : ""),
      )
    }
  }
}

/** An item binds at least as tightly as what it stands in, or has parentheses around it. */
function within(item: Condition, binding: number, before: string, after: string): Atom[] {
  if (BINDING[item.kind] >= binding) return conditionOf(item, before, after)
  return conditionOf(item, `${before}(`, `)${after}`)
}

function comparisonOf({ reading, comparison, values, numbers }: Condition & { kind: "compare" }): string {
  const what = [...values.map((value) => value.text), ...numbers.map(quantityOf)]
  const joint = comparison === "between" || comparison === "outside" ? " and " : ", "
  return `${reading === undefined ? "" : `${reading.text} `}${comparison} ${what.join(joint)}`
}

const TIGHTNESS = { "+": 1, "-": 1, "*": 2, "/": 2 }

/** An expression with the fewest parentheses that keep its shape. */
export function expressionOf(expression: Expression): string {
  if (expression.kind === "name") return expression.name.text
  if (expression.kind === "number") return quantityOf(expression.number)
  const { operation, left, right } = expression
  const side = (item: Expression, least: number) =>
    item.kind === "operation" && TIGHTNESS[item.operation] < least
      ? `(${expressionOf(item)})`
      : expressionOf(item)
  const own = TIGHTNESS[operation]
  return `${side(left, own)} ${operation} ${side(right, own + 1)}`
}

/** What stands after the name of a number that is taken: ` "At the supply" in V`. */
export function askedOf({ question, unit }: InputTree): string {
  return ` ${question ? textOf(question) : '""'} in ${unit?.text ?? ""}`
}

export function typeOf(type: TypeTree): Atom[] {
  const at = type.span.start
  if (type.kind === "yes or no") return [{ text: "yes or no", at }]
  if (type.kind === "one of") return listOf("one of ", type.values)
  const by = type.by === undefined ? "" : ` by ${quantityOf(type.by)}`
  const ends = [type.from, type.to].map((end) => (end === undefined ? "" : quantityOf(end)))
  return [{ text: `in ${type.unit?.text ?? ""} from ${ends[0]} to ${ends[1]}${by}`, at }]
}

/** `rule out a, any in b except c 90%`, with a break allowed after each comma and before `except`. */
export function faultsOf(verb: string, { items }: FaultsTree, after: string): Atom[] {
  const parts = items.map(({ names, anyIn, except, span }): Atom[] => {
    const faults =
      anyIn === undefined ? listOf("", names) : [{ text: `any in ${anyIn.text}`, at: span.start }]
    return [...faults, ...listOf("except ", except)]
  })
  const joined = parts.flatMap((atoms, i) =>
    i < parts.length - 1 ? withLast(atoms, ",") : withLast(atoms, after),
  )
  const [first, ...others] = joined
  return first === undefined ? [] : [{ ...first, text: `${verb} ${first.text}` }, ...others]
}

function withLast(atoms: readonly Atom[], after: string): Atom[] {
  const last = atoms.at(-1)
  return last === undefined ? [] : [...atoms.slice(0, -1), { ...last, text: last.text + after }]
}
