import type { Span } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import type { ArgumentShape } from "../language/arguments.ts"
import type { ClauseSpec } from "../language/clause-specs.ts"
import { DECLARATIONS } from "../language/statements.ts"
import type {
  CautionTree,
  Condition,
  Declaration,
  EndingTree,
  Expression,
  FaultsTree,
  Finding,
  InputTree,
  Name,
  NameWithChance,
  NameWithOutcome,
  NormallyClause,
  OutcomeTree,
  PictureTree,
  PowerClause,
  Quantity,
  ReadingCondition,
  RuleDecl,
  ShowsClause,
  Standing,
  Text,
  Translation,
  TypeTree,
  ValueTranslation,
} from "../syntax-tree.ts"
import {
  type Atom,
  askedOf,
  conditionOf,
  expressionOf,
  faultsOf,
  listOf,
  quantityOf,
  textOf,
  typeOf,
} from "./atoms.ts"
import type { ClauseLayout } from "./layout.ts"

/** What the tree has for an argument of each shape; of a list all of it. */
interface ArgumentValues {
  nothing: Span
  number: Quantity
  hourly: Quantity
  percent: Quantity
  minutes: Quantity
  wait: Quantity
  text: Text
  picture: PictureTree
  caution: CautionTree
  currency: Name
  language: Name
  onOrOff: PowerClause
  name: Name
  names: readonly Name[]
  nameWithPercent: NameWithChance
  nameWithOptionalPercent: NameWithChance
  namesWithOptionalPercent: readonly NameWithChance[]
  yesOrNo: TypeTree
  values: TypeTree
  range: TypeTree
  condition: Condition
  conditionWithPercent: NormallyClause
  shows: ShowsClause
  expects: ReadingCondition
  finding: Finding
  nameWithOutcome: NameWithOutcome
  outcome: OutcomeTree
  ending: EndingTree
  standing: Standing
  inputs: readonly InputTree[]
  expression: Expression
  translation: Translation
  valueTranslation: ValueTranslation
  faults: FaultsTree
}

/** Prints a clause: its words, and what the tree has for its argument. */
type Printer<V> = (words: string, value: V, declaration: Declaration) => readonly Atom[]

const quantity: Printer<Quantity> = (words, value) => [
  { text: `${words} ${quantityOf(value)}`, at: value.span.start },
]
const name: Printer<Name> = (words, { text, span }) => [{ text: `${words} ${text}`, at: span.start }]
const type: Printer<TypeTree> = (_, value) => typeOf(value)
const nameWithChance: Printer<NameWithChance> = (words, { name: { text, span }, chance }) => [
  { text: `${words} ${text}${after(chance)}`, at: span.start },
]

const PRINTERS: { readonly [S in ArgumentShape]: Printer<ArgumentValues[S]> } = {
  nothing: (words, { start }) => [{ text: words, at: start }],
  number: quantity,
  hourly: (words, value) => [{ text: `${words} ${quantityOf(value)} per hour`, at: value.span.start }],
  percent: quantity,
  minutes: quantity,
  wait: quantity,
  text: (words, value) => [{ text: `${words} ${textOf(value)}`, at: value.span.start }],
  picture: (words, picture) => pictureOf(words, picture),
  caution: (words, { value, span, pictures }) => [
    { text: `${words} ${textOf({ value })}`, at: span.start },
    ...pictures.flatMap((each) => pictureOf("picture", each)),
  ],
  currency: name,
  language: name,
  onOrOff: (words, { on, span }) => [{ text: `${words} ${on ? "on" : "off"}`, at: span.start }],
  name,
  names: (words, names) => listOf(`${words} `, names),
  nameWithPercent: nameWithChance,
  nameWithOptionalPercent: nameWithChance,
  namesWithOptionalPercent: (words, items) =>
    listOf(
      `${words} `,
      items.map((item) => item.name),
      (i) => after(at(items, i).chance),
    ),
  yesOrNo: type,
  values: type,
  range: type,
  condition: (words, condition) => conditionOf(condition, `${words} `),
  conditionWithPercent: (words, { condition, chance }) => conditionOf(condition, `${words} `, after(chance)),
  shows: (words, { what, condition, chance }) =>
    condition === undefined
      ? [{ text: `${words} ${what.text}${after(chance)}`, at: what.span.start }]
      : conditionOf(condition, `${words} ${what.text} `, after(chance)),
  expects: (words, { reading, condition }) => conditionOf(condition, `${words} ${reading.text} `),
  finding: (words, { reading, value, number }) => {
    const found = number === undefined ? value?.text : quantityOf(number)
    return [{ text: `${words} ${reading.text} is ${found}`, at: reading.span.start }]
  },
  nameWithOutcome: (words, { name: { text }, outcome, span }) => [
    { text: `${words} ${text} ${outcome}`, at: span.start },
  ],
  outcome: (words, { outcome, span }) => [{ text: `${words} ${outcome}`, at: span.start }],
  ending: (words, { ending, span }) => [{ text: `${words} ${ending}`, at: span.start }],
  standing: (words, { fault: { text }, is, chance, span }) => [
    { text: `${words} ${text} ${is}${after(chance)}`, at: span.start },
  ],
  inputs: (words, inputs) =>
    listOf(
      `${words} `,
      inputs.map(({ name }) => name),
      (i) => askedOf(at(inputs, i)),
    ),
  expression: (words, value) => [{ text: `${words} ${expressionOf(value)}`, at: value.span.start }],
  translation: (words, { name, original, text }) => [
    {
      text: [words, name?.text, textOf(original)].filter((word) => word !== undefined).join(" "),
      at: (name ?? original).span.start,
    },
    asOf(text),
  ],
  valueTranslation: (words, { reading, value, text }) => [
    { text: `${words} ${reading.text} is ${value.text}`, at: reading.span.start },
    asOf(text),
  ],
  faults: (words, faults, declaration) => faultsOf(words, faults, after((declaration as RuleDecl).chance)),
}

function pictureOf(words: string, { path, text }: PictureTree): Atom[] {
  return [
    { text: `${words} ${textOf(path)}`, at: path.span.start },
    ...(text ? [{ text: textOf(text), at: text.span.start }] : []),
  ]
}

function asOf(text: Text): Atom {
  return { text: `as ${textOf(text)}`, at: text.span.start }
}

function after(chance: Quantity | undefined): string {
  return chance === undefined ? "" : ` ${quantityOf(chance)}`
}

/** The clauses of a declaration, in the order of the language. */
export function clauseLayouts(declaration: Declaration): ClauseLayout[] {
  const fields = declaration as unknown as Readonly<Record<string, unknown>>
  const layouts: ClauseLayout[] = []
  for (const clause of clausesOf(declaration)) {
    const value = fields[clause.field]
    if (value === undefined || !isOf(clause, value, declaration)) continue
    const values = clause.repeats ? (value as readonly unknown[]) : [value]
    const column = layouts.some((each) => each.column === clause.group)
      ? clause.words
      : (clause.group ?? clause.words)
    for (const each of values) {
      const print = PRINTERS[clause.argument] as Printer<unknown>
      const atoms = print(clause.words, each, declaration)
      if (atoms.length > 0) layouts.push({ column, atoms, place: clause.place })
    }
  }
  return layouts
}

function clausesOf({ kind }: Declaration): readonly ClauseSpec[] {
  return DECLARATIONS.find((spec) => spec.kind === kind)?.clauses ?? []
}

/** Several clauses fill one field with a type, or with faults: which of them it was. */
function isOf({ argument, words }: ClauseSpec, value: unknown, declaration: Declaration): boolean {
  switch (argument) {
    case "yesOrNo":
      return (value as TypeTree).kind === "yes or no"
    case "values":
      return (value as TypeTree).kind === "one of"
    case "range":
      return (value as TypeTree).kind === "quantity"
    case "faults":
      return (declaration as RuleDecl).verb === words
    default:
      return true
  }
}
