import type {
  Condition,
  Declaration,
  FaultsTree,
  Finding,
  Name,
  NameWithChance,
  NameWithOutcome,
  NormallyClause,
  ReadingCondition,
  ShowsClause,
  Standing,
  Translation,
  ValueTranslation,
} from "../syntax-tree.ts"
import type { ArgumentShape, NamedKind } from "./arguments.ts"
import { DECLARATIONS } from "./statements.ts"

/** A name that something else declares, and what it can stand for. */
export interface NameUse {
  readonly name: Name
  readonly kinds: readonly NamedKind[]
}

const QUESTIONS: readonly NamedKind[] = ["reading", "told"]
const PLACES: readonly NamedKind[] = ["part", "setup"]

const none = (): NameUse[] => []
const one = (name: Name, kinds: readonly NamedKind[]): NameUse[] => [{ name, kinds }]
const withChance = ({ name }: NameWithChance, kinds: readonly NamedKind[]): NameUse[] => one(name, kinds)

function questionsIn(condition: Condition | undefined): NameUse[] {
  return readingsIn(condition).flatMap((name) => one(name, QUESTIONS))
}

function faultsIn({ items }: FaultsTree): NameUse[] {
  return items.flatMap(({ names, anyIn, except }) => [
    ...names.flatMap((name) => one(name, ["fault"])),
    ...(anyIn ? one(anyIn, PLACES) : []),
    ...except.flatMap((name) => one(name, ["fault"])),
  ])
}

/** The names in an argument of each shape; a list is given item by item. `kinds`: what those of the clause stand for. */
const NAMES: Readonly<
  Record<ArgumentShape, (value: never, kinds: readonly NamedKind[]) => readonly NameUse[]>
> = {
  nothing: none,
  number: none,
  hourly: none,
  percent: none,
  minutes: none,
  wait: none,
  text: none,
  picture: none,
  caution: none,
  currency: none,
  language: none,
  onOrOff: none,
  yesOrNo: none,
  values: none,
  range: none,
  name: one,
  names: one,
  nameWithPercent: withChance,
  nameWithOptionalPercent: withChance,
  namesWithOptionalPercent: withChance,
  condition: questionsIn,
  conditionWithPercent: ({ condition }: NormallyClause) => questionsIn(condition),
  shows: ({ what, condition }: ShowsClause, kinds) => [...one(what, kinds), ...questionsIn(condition)],
  expects: ({ reading, condition }: ReadingCondition, kinds) => [
    ...one(reading, kinds),
    ...questionsIn(condition),
  ],
  finding: ({ reading }: Finding, kinds) => one(reading, kinds),
  nameWithOutcome: ({ name }: NameWithOutcome, kinds) => one(name, kinds),
  outcome: none,
  ending: none,
  inputs: none,
  expression: none,
  standing: ({ fault }: Standing, kinds) => one(fault, kinds),
  translation: ({ name }: Translation, kinds) => (name ? one(name, kinds) : []),
  valueTranslation: ({ reading }: ValueTranslation, kinds) => one(reading, kinds),
  faults: faultsIn,
}

/** The names that a declaration uses, and another one declares; clause by clause. */
export function namesUsed(declaration: Declaration): NameUse[] {
  const condition = "condition" in declaration ? questionsIn(declaration.condition) : []
  const fields = declaration as unknown as Readonly<Record<string, unknown>>
  const clauses = DECLARATIONS.find(({ kind }) => kind === declaration.kind)?.clauses ?? []
  // Several clauses can fill one field.
  const byField = new Map(clauses.map((clause) => [clause.field, clause]))
  const names = [...byField.values()].flatMap(({ field, argument, names: kinds }) => {
    const value = fields[field]
    const values = value === undefined ? [] : Array.isArray(value) ? value : [value]
    return values.flatMap((each) => NAMES[argument](each as never, kinds))
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
