import type { Span } from "../diagnostics/diagnostic.ts"
import type { CautionTree, Name, PictureTree, Text, Translation, ValueTranslation } from "./texts-tree.ts"

export type { CautionTree, Name, PictureTree, Text, Translation, ValueTranslation } from "./texts-tree.ts"

/**
 * The tree of one source file: what the author wrote, declaration by declaration, with a span on everything that a
 * finding may point at. Parsing never fails, so every part that a broken text can lack is optional here; `model/`
 * says what is missing. Numbers keep their spelling, so that the printer gives back what was typed.
 */
export interface Tree {
  readonly file: string
  readonly declarations: readonly Declaration[]
  /** Comments after the last declaration. */
  readonly trailing: readonly Comment[]
  /** False if some text is not in the tree, or is in it as meant and not as typed: printing would lose it. */
  readonly whole?: boolean
  /** Names in the place of a declaration's, after words that don't begin one. */
  readonly misdeclared?: readonly string[]
}

/** A `#` comment, without line break. `blankBefore`: an empty line stands above it. */
export interface Comment {
  readonly text: string
  readonly span: Span
  readonly blankBefore: boolean
  /** Nothing but white space stands before it on its line. */
  readonly ownLine?: boolean
}

/** `22.7 V`, `90%`, `6`: the number, its spelling, and its unit where one was written (`%` is a unit here too). */
export interface Quantity {
  readonly value: number
  readonly spelling: string
  readonly unit?: Name
  readonly span: Span
}

export type Comparison =
  | "is"
  | "is not"
  | "is one of"
  | "below"
  | "above"
  | "at least"
  | "at most"
  | "between"
  | "outside"

/** A condition. In `shows` and `normally` the reading stands outside of it, so `reading` is absent in its comparisons. */
export type Condition =
  | {
      readonly kind: "compare"
      readonly reading?: Name
      readonly comparison: Comparison
      /** For `is`, `is not`, `is one of`. */
      readonly values: readonly Name[]
      /** For the others: one number, or the two of `between` and `outside`. */
      readonly numbers: readonly Quantity[]
      readonly span: Span
    }
  | { readonly kind: "and" | "or"; readonly items: readonly Condition[]; readonly span: Span }
  | { readonly kind: "not"; readonly item: Condition; readonly span: Span }

export type TypeTree =
  | { readonly kind: "yes or no"; readonly span: Span }
  | { readonly kind: "one of"; readonly values: readonly Name[]; readonly span: Span }
  | {
      readonly kind: "quantity"
      readonly unit?: Name
      readonly from?: Quantity
      readonly to?: Quantity
      readonly by?: Quantity
      readonly span: Span
    }

/** What all declarations have: the keyword, the whole stretch, the comments above, and one at the end of its lines. */
interface Common {
  readonly keyword: Span
  readonly span: Span
  readonly leading: readonly Comment[]
  /** Comments within or right after the declaration; by its place each belongs to the clause that it follows. */
  readonly inner: readonly Comment[]
  /** An empty line stands above the declaration (above its leading comments). */
  readonly blankBefore: boolean
  /** An empty line stands between the leading comments and the keyword, as below the heading of a section. */
  readonly detached?: boolean
  /** False if the parser had to give up in this declaration, so that later stages do not pile findings on it. */
  readonly whole: boolean
}

export interface RulesetDecl extends Common {
  readonly kind: "ruleset"
  readonly name?: Name
  readonly title?: Text
  readonly version?: Text
  /** Of its own texts. */
  readonly language?: Name
  readonly money?: Name
  readonly bench?: Quantity
  readonly waiting?: Quantity
  readonly comeback?: Quantity
  readonly handover?: Quantity
  readonly trust?: Quantity
  /** `second fault N%` */
  readonly second?: Quantity
  readonly unlisted?: Quantity
}

export interface UseDecl extends Common {
  readonly kind: "use"
  readonly path?: Text
}

export interface PartDecl extends Common {
  readonly kind: "part"
  readonly name?: Name
  readonly label?: Text
  readonly price?: Quantity
  /** The span of the word `spare`. */
  readonly spare?: Span
  readonly behind: readonly Name[]
  readonly fitTakes?: Quantity
  readonly fitCosts?: Quantity
  readonly fitWaits?: Quantity
  readonly fitAfter: readonly Name[]
  readonly fitAfterAny: readonly Name[]
  readonly fitOnlyIf?: Condition
  readonly pictures: readonly PictureTree[]
}

export interface SetupDecl extends Common {
  readonly kind: "setup"
  readonly name?: Name
  readonly label?: Text
  readonly of?: Name
  readonly behind: readonly Name[]
  /** `redo cures N%` */
  readonly cures?: Quantity
  readonly pictures: readonly PictureTree[]
}

export interface ComplaintDecl extends Common {
  readonly kind: "complaint"
  readonly name?: Name
  readonly text?: Text
  readonly takes?: Quantity
  readonly tries?: Quantity
}

/** `shows READING CONDITION [N%]`, or `shows COMPLAINT N%` (then without condition). */
export interface ShowsClause {
  readonly what: Name
  readonly condition?: Condition
  readonly chance?: Quantity
  readonly span: Span
}

/** A name and the chance that goes with it: `eased by SETUP [N%]`, `redoes SETUP [N%]`, `risks PART N%`. */
export interface NameWithChance {
  readonly name: Name
  readonly chance?: Quantity
  readonly span: Span
}

export interface FaultDecl extends Common {
  readonly kind: "fault"
  readonly name?: Name
  readonly label?: Text
  readonly place?: Name
  readonly odds?: Quantity
  readonly shows: readonly ShowsClause[]
  readonly remedy?: Text
  readonly fixCosts?: Quantity
  readonly fixTakes?: Quantity
  readonly fixWaits?: Quantity
  readonly fixAfter: readonly Name[]
  readonly fixAfterAny: readonly Name[]
  readonly fixOnlyIf?: Condition
  readonly eased: readonly NameWithChance[]
  readonly pictures: readonly PictureTree[]
}

/** `normally CONDITION N%` */
export interface NormallyClause {
  readonly condition: Condition
  readonly chance?: Quantity
  readonly span: Span
}

interface Question extends Common {
  readonly name?: Name
  readonly question?: Text
  readonly type?: TypeTree
  readonly normally?: NormallyClause
  readonly pictures: readonly PictureTree[]
}

export interface ToldDecl extends Question {
  readonly kind: "told"
  readonly trust?: Quantity
  readonly takes?: Quantity
}

/** `supply_end "At the supply" in V`: a number taken at the bench for a reading that is worked out. */
export interface InputTree {
  readonly kind: "input"
  readonly name: Name
  readonly question?: Text
  readonly unit?: Name
  readonly span: Span
}

export type Operation = "+" | "-" | "*" | "/"

/** What a reading is worked out as. Parentheses are in the shape of the tree. */
export type Expression =
  | { readonly kind: "name"; readonly name: Name; readonly span: Span }
  | { readonly kind: "number"; readonly number: Quantity; readonly span: Span }
  | {
      readonly kind: "operation"
      readonly operation: Operation
      readonly left: Expression
      readonly right: Expression
      readonly span: Span
    }

export interface ReadDecl extends Question {
  readonly kind: "reading"
  readonly inputs: readonly InputTree[]
  readonly gives?: Expression
}

/** A told question or a reading. */
export type ReadingDecl = ToldDecl | ReadDecl

export interface PowerClause {
  readonly on: boolean
  readonly span: Span
}

export interface TestDecl extends Common {
  readonly kind: "test"
  readonly name?: Name
  readonly instruction?: Text
  /** Span of each kind word met (`reads`, `swaps`, `redoes`, `removes`), to find a test with none or with two. */
  readonly kinds: readonly Name[]
  readonly reads: readonly Name[]
  readonly swaps: readonly Name[]
  readonly redoes: readonly NameWithChance[]
  readonly removes: readonly Name[]
  readonly takes?: Quantity
  readonly waits?: Quantity
  readonly costs?: Quantity
  readonly risks: readonly NameWithChance[]
  readonly needs: readonly Text[]
  readonly power?: PowerClause
  readonly after: readonly Name[]
  /** `after any of TEST, …` */
  readonly afterAny: readonly Name[]
  readonly onlyIf?: Condition
  readonly tries?: Quantity
  readonly pictures: readonly PictureTree[]
  readonly cautions: readonly CautionTree[]
}

/** `a, any in PLACE except b, …`: what the items name together. */
export interface FaultsTree {
  readonly items: readonly FaultsItem[]
  readonly span: Span
}

/** Names in a row, or `any in PLACE`; either with `except …`, which goes on to the next `any in` or to the end. */
export interface FaultsItem {
  readonly names: readonly Name[]
  readonly anyIn?: Name
  readonly except: readonly Name[]
  readonly span: Span
}

export interface RuleDecl extends Common {
  readonly kind: "rule"
  readonly name?: Name
  readonly condition?: Condition
  readonly verb?: "rule out" | "leaves only"
  readonly faults?: FaultsTree
  readonly chance?: Quantity
  readonly because?: Text
}

export interface NeverDecl extends Common {
  readonly kind: "never"
  readonly condition?: Condition
}

/** `expects READING CONDITION` */
export interface ReadingCondition {
  readonly reading: Name
  readonly condition: Condition
  readonly span: Span
}

export interface ProofDecl extends Common {
  readonly kind: "proof"
  readonly text?: Text
  readonly times?: Quantity
  readonly takes?: Quantity
  readonly expects?: ReadingCondition
  readonly places: readonly Name[]
}

/** `READING is VALUE`, in a scenario: what is found, not what may be. */
export interface Finding {
  readonly reading: Name
  readonly value?: Name
  readonly number?: Quantity
  readonly span: Span
}

/** What a look for the complaint shows. */
export interface OutcomeTree {
  readonly outcome: "gone" | "stays"
  readonly span: Span
}

/** What came of a proof run. */
export interface EndingTree {
  readonly ending: "holds" | "fails"
  readonly span: Span
}

/** Something done to what has this name, and what the look after it shows. */
export interface NameWithOutcome extends OutcomeTree {
  readonly name: Name
}

/** `FAULT ruled out`, `FAULT at least N%`, `FAULT at most N%` */
export interface Standing {
  readonly fault: Name
  readonly is: "ruled out" | "at least" | "at most"
  readonly chance?: Quantity
  readonly span: Span
}

/** Its steps are in the order of their places in the text, whichever clauses they are. */
export interface ScenarioDecl extends Common {
  readonly kind: "scenario"
  readonly text?: Text
  readonly finds: readonly Finding[]
  readonly does: readonly NameWithOutcome[]
  readonly putsBack: readonly NameWithOutcome[]
  readonly takesOut: readonly Name[]
  readonly keeps: readonly Name[]
  readonly replaces: readonly NameWithOutcome[]
  readonly fixes: readonly NameWithOutcome[]
  readonly looksAgain: readonly OutcomeTree[]
  readonly closes: readonly EndingTree[]
  readonly cannot: readonly Name[]
  readonly expectsNext: readonly Name[]
  readonly expectsPutBack: readonly Name[]
  readonly expectsTakeOut: readonly Name[]
  readonly expectsKeep: readonly Name[]
  readonly expectsReplace: readonly Name[]
  readonly expectsFix: readonly Name[]
  readonly expectsLook: readonly Span[]
  readonly expectsClose: readonly Span[]
  readonly expectsHandOver: readonly Span[]
  readonly expects: readonly Standing[]
}

export interface TextsDecl extends Common {
  readonly kind: "texts"
  /** The tag of the language. */
  readonly tag?: Name
  readonly says: readonly Translation[]
  readonly values: readonly ValueTranslation[]
  readonly remedies: readonly Translation[]
  readonly inputs: readonly Translation[]
  readonly tools: readonly Translation[]
  readonly hazards: readonly Translation[]
  readonly captions: readonly Translation[]
  readonly reasons: readonly Translation[]
}

export type Declaration =
  | RulesetDecl
  | UseDecl
  | PartDecl
  | SetupDecl
  | ComplaintDecl
  | FaultDecl
  | ToldDecl
  | ReadDecl
  | TestDecl
  | RuleDecl
  | NeverDecl
  | ScenarioDecl
  | TextsDecl
  | ProofDecl
