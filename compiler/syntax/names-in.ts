import type { ArgumentShape } from "./language/arguments.ts"
import { DECLARATIONS } from "./language/statements.ts"
import type {
  Condition,
  Declaration,
  FaultsTree,
  Name,
  NameWithChance,
  NormallyClause,
  ReadingCondition,
  ShowsClause,
} from "./syntax-tree.ts"

const none = (): Name[] => []
const one = (name: Name): Name[] => [name]
const withChance = ({ name }: NameWithChance): Name[] => [name]

/** The names in an argument of each shape that something else declares; a list is given item by item. */
const NAMES: Readonly<Record<ArgumentShape, (value: never) => readonly Name[]>> = {
  nothing: none,
  number: none,
  hourly: none,
  percent: none,
  minutes: none,
  wait: none,
  text: none,
  currency: none,
  onOrOff: none,
  yesOrNo: none,
  values: none,
  range: none,
  name: one,
  names: one,
  nameWithPercent: withChance,
  nameWithOptionalPercent: withChance,
  namesWithOptionalPercent: withChance,
  condition: (condition: Condition) => readingsIn(condition),
  conditionWithPercent: ({ condition }: NormallyClause) => readingsIn(condition),
  shows: ({ what, condition }: ShowsClause) => [what, ...readingsIn(condition)],
  expects: ({ reading, condition }: ReadingCondition) => [reading, ...readingsIn(condition)],
  faults: ({ items }: FaultsTree) =>
    items.flatMap(({ names, anyIn, except }) => [...names, ...(anyIn ? [anyIn] : []), ...except]),
}

/** The names that a declaration uses, and another one declares; clause by clause. */
export function namesUsed(declaration: Declaration): Name[] {
  const condition = "condition" in declaration ? readingsIn(declaration.condition) : []
  const fields = declaration as unknown as Readonly<Record<string, unknown>>
  const clauses = DECLARATIONS.find(({ kind }) => kind === declaration.kind)?.clauses ?? []
  // Several clauses can fill one field.
  const shapes = new Map(clauses.map(({ field, argument }) => [field, argument]))
  const names = [...shapes].flatMap(([field, argument]) => {
    const value = fields[field]
    const values = value === undefined ? [] : Array.isArray(value) ? value : [value]
    return values.flatMap((each) => NAMES[argument](each as never))
  })
  return [...condition, ...names]
}

/** The readings that a condition names. */
export function readingsIn(condition: Condition | undefined): Name[] {
  if (condition === undefined) return []
  if (condition.kind === "compare") return condition.reading ? [condition.reading] : []
  if (condition.kind === "not") return readingsIn(condition.item)
  return condition.items.flatMap(readingsIn)
}
