import type { Span } from "../../diagnostics/diagnostic.ts"
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
  ShowsClause,
  Standing,
  Text,
  Translation,
  TypeTree,
  ValueTranslation,
} from "../syntax-tree.ts"
import {
  ARGUMENTS,
  type Argument,
  type ArgumentShape,
  expectedKinds,
  formOfKinds,
  type NamedKind,
} from "./arguments.ts"

/** A clause of a declaration, as data. */
export interface ClauseSpec {
  /** The words that begin it, like `comeback costs`. */
  readonly words: string
  /** Where the declaration's tree keeps what it says. */
  readonly field: string
  readonly argument: ArgumentShape
  /** What its names stand for. */
  readonly names: readonly NamedKind[]
  /** The form as the reference writes it. */
  readonly form: string
  /** What has to follow its words, for a message. */
  readonly expected: string
  /** One clause as it would stand in a ruleset. */
  readonly example: string
  /** What it says, for whoever reads a ruleset. */
  readonly says: string
  /** It can stand more than once in a declaration. */
  readonly repeats: boolean
  /** Its field holds a list. */
  readonly isList: boolean
  /** Where the formatter puts it: beside the head if there is room, under it, or alone on a line under it. */
  readonly place: "line" | "below" | "own"
  /** Of several clauses with one group a declaration needs one; `type`: and has no more than one. */
  readonly group?: "kind" | "type" | undefined
  /** The words of the one clause of its group that it can stand beside. */
  readonly beside?: string | undefined
  /** The declaration isn't complete without it. */
  readonly required: boolean
  /** What stands without the clause's words is most likely this clause. */
  readonly implied?: "number" | "percent" | "minutes" | "name" | "range" | "values" | undefined
}

/** What the data says of a clause; the rest of its specification follows from that. */
interface Entry<Shape extends ArgumentShape> {
  readonly words: string
  readonly argument: Shape
  readonly names?: readonly NamedKind[]
  /** In place of the form of the argument. */
  readonly form?: string
  /** In place of what the argument is called. */
  readonly expected?: string
  readonly example: string
  readonly says: string
  readonly repeats?: true
  readonly place?: ClauseSpec["place"]
  readonly group?: "kind" | "type"
  readonly beside?: string
  readonly required?: true
  readonly implied?: ClauseSpec["implied"]
}

/** By shape of an argument: what it leaves in a field of the tree, or in each entry of a field that holds a list. */
interface Parsed extends Record<ArgumentShape, unknown> {
  readonly caution: CautionTree
  readonly condition: Condition
  readonly conditionWithPercent: NormallyClause
  readonly currency: Name
  readonly ending: EndingTree
  readonly expects: ReadingCondition
  readonly expression: Expression
  readonly faults: FaultsTree
  readonly finding: Finding
  readonly hourly: Quantity
  readonly inputs: readonly InputTree[]
  readonly language: Name
  readonly minutes: Quantity
  readonly name: Name
  readonly names: readonly Name[]
  readonly namesWithOptionalPercent: readonly NameWithChance[]
  readonly nameWithOptionalPercent: NameWithChance
  readonly nameWithOutcome: NameWithOutcome
  readonly nameWithPercent: NameWithChance
  readonly nothing: Span
  readonly number: Quantity
  readonly onOrOff: PowerClause
  readonly outcome: OutcomeTree
  readonly percent: Quantity
  readonly picture: PictureTree
  readonly range: TypeTree
  readonly shows: ShowsClause
  readonly standing: Standing
  readonly text: Text
  readonly translation: Translation
  readonly valueTranslation: ValueTranslation
  readonly values: TypeTree
  readonly wait: Quantity
  readonly yesOrNo: TypeTree
}

type IsSame<A, B> = [A, B] extends [B, A] ? true : false
type Holds<Field, Item> = IsSame<Field, Item> | IsSame<Field, readonly Item[]>

/** The shapes of arguments that fill a field of the tree, by its type. */
type ShapeFor<Field> = {
  [Shape in ArgumentShape]: true extends Holds<Field, Parsed[Shape]> ? Shape : never
}[ArgumentShape]

/** What every declaration has, and what its head says. */
export type HeadField =
  | "kind"
  | "name"
  | "title"
  | "path"
  | "label"
  | "text"
  | "question"
  | "instruction"
  | "condition"
  | "tag"
  | "verb"
  | "chance"
  | "kinds"
  | "keyword"
  | "span"
  | "leading"
  | "inner"
  | "blankBefore"
  | "detached"
  | "whole"

/** The fields of a declaration that its clauses fill. */
export type ClauseField<D extends Declaration> = Exclude<keyof D, HeadField>

/** Every field of a declaration's tree, with the clause that fills it: neither can be had without the other. */
export type Clauses<D extends Declaration> = {
  readonly [F in ClauseField<D>]-?:
    | Entry<ShapeFor<NonNullable<D[F]>>>
    | readonly Entry<ShapeFor<NonNullable<D[F]>>>[]
}

export function clauseSpecs<D extends Declaration>(clauses: Clauses<D>): ClauseSpec[] {
  return Object.entries(
    clauses as Record<string, Entry<ArgumentShape> | readonly Entry<ArgumentShape>[]>,
  ).flatMap(([field, entries]) =>
    [entries].flat().map((entry) => clauseSpec(field, entry as Entry<ArgumentShape>)),
  )
}

function clauseSpec(field: string, entry: Entry<ArgumentShape>): ClauseSpec {
  const { words, argument, names = [], repeats = false, place = "line", required = false, ...rest } = entry
  const own: Argument = ARGUMENTS[argument]
  const form = own.form.replace("NAME", formOfKinds(names))
  return {
    expected: names.length > 0 && own.expected === "a name" ? expectedKinds(names) : own.expected,
    ...rest,
    form: entry.form ?? `${words} ${form}`.trimEnd(),
    words,
    field,
    argument,
    names,
    repeats,
    isList: repeats || own.isList === true,
    place,
    required,
  }
}
