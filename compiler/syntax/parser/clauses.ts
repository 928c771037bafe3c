import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import type {
  Condition,
  Declaration,
  FaultDecl,
  Name,
  Quantity,
  ReadingDecl,
  RedoesItem,
  ShowsClause,
  TestDecl,
  Text,
  TypeTree,
} from "../syntax-tree.ts"
import { GIVE_UP } from "./base-parser.ts"
import { Conditions } from "./conditions.ts"

/** A declaration as read, before its comments are known. */
export type Bare<D extends Declaration = Declaration> = D extends Declaration
  ? Omit<D, "keyword" | "span" | "leading" | "inner" | "blankBefore" | "detached" | "whole">
  : never

export type Draft<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer E)[] ? E[] : T[K] }

/** Clauses: a rule for each. Those that are lists write into the declaration what they have as soon as they have it. */
// biome-ignore format: a rule on a few lines reads as the grammar that it is
export class Clauses extends Conditions {
  /** A text of a clause; `what` it is, for a message. */
  private quoted = this.RULE("quoted", (what = "text"): Text => {
    this.ACTION(() => this.mendBareWords(what))
    return this.SUBRULE(this.text)
  })

  // ruleset

  protected version = this.RULE("version", (): Text => { this.word("version"); return this.SUBRULE(this.quoted, { ARGS: ["version"] }) })

  protected money = this.RULE("money", (): Name => {
    this.word("money")
    const code = this.CONSUME(T.Word) as Lexeme
    return { text: code.text, span: this.mistakes.spanOf(code) }
  })

  protected bench = this.RULE("bench", (): Quantity => {
    this.word("bench")
    const amount = this.SUBRULE(this.plain)
    this.word("per")
    this.word("hour")
    return amount
  })

  protected comeback = this.RULE("comeback", (): Quantity => { this.word("comeback"); return this.SUBRULE(this.costs) })

  protected handover = this.RULE("handover", (): Quantity => { this.word("handover"); return this.SUBRULE(this.costs) })

  // part, setup

  protected price = this.RULE("price", (): Quantity => { this.word("price"); return this.SUBRULE(this.plain) })

  protected behind = this.RULE("behind", (into?: Name[]): void => {
    this.word("behind")
    this.SUBRULE(this.names, { ARGS: [into] })
  })

  protected of = this.RULE("of", (): Name => { this.word("of"); return this.SUBRULE(this.name) })

  protected redo = this.RULE("redo", (): Quantity => {
    this.word("redo")
    this.word("cures")
    return this.SUBRULE(this.percent)
  })

  // fault

  protected place = this.RULE("place", (): Name => { this.word("in"); return this.SUBRULE(this.name) })

  protected odds = this.RULE("odds", (): Quantity => { this.word("odds"); return this.SUBRULE(this.plain) })

  protected shows = this.RULE("shows", (): ShowsClause => {
    const { start } = this.word("shows")
    const what = this.SUBRULE(this.name)
    let condition: Condition | undefined
    let chance: Quantity | undefined
    this.ACTION(() => this.mendTerm(true, 0))
    this.OR({
      ERR_MSG: "relation",
      // A number begins no condition; only what is taken for a name may.
      IGNORE_AMBIGUITIES: true,
      DEF: [
        // Without a condition it is the complaint that comes and goes.
        { GATE: () => !this.atRange(), ALT: () => { chance = this.SUBRULE(this.percent) } },
        {
          ALT: () => {
            condition = this.SUBRULE(this.condition, { ARGS: [true] })
            chance = this.OPTION(() => this.SUBRULE1(this.percent))
          },
        },
      ],
    })
    return { what, ...(condition && { condition }), ...(chance && { chance }), span: this.span(start) }
  })

  protected remedy = this.RULE("remedy", (): Text => { this.word("remedy"); return this.SUBRULE(this.quoted, { ARGS: ["remedy"] }) })

  protected fix = this.RULE("fix", (into: Draft<Bare<FaultDecl>> = { kind: "fault", shows: [] }): void => {
    this.word("fix")
    this.OR([
      { ALT: () => { into.fixCosts = this.SUBRULE(this.costs) } },
      { ALT: () => { into.fixTakes = this.SUBRULE(this.takes) } },
    ])
  })

  // told, reading

  protected type = this.RULE("type", (): TypeTree => {
    return this.OR<TypeTree>([
      { ALT: () => this.SUBRULE(this.yesOrNo) },
      { ALT: () => this.SUBRULE(this.oneOf) },
      { ALT: () => this.SUBRULE(this.scale) },
    ])
  })

  private yesOrNo = this.RULE("yesOrNo", (): TypeTree => {
    const yes = this.word("yes")
    const { start } = yes
    this.ACTION(() => this.mendOr(yes))
    this.word("or")
    this.word("no")
    return { kind: "yes or no", span: this.span(start) }
  })

  /** `yes, no`, and `yes, no, a_little`, which lacks its `one of`. */
  private mendOr(yes: Lexeme): void {
    const { next } = this
    if (next.key !== ",") return
    if (this.ahead(2).key !== "no" || this.ahead(3).key === ",") {
      this.mistakes.lacks("one of", yes)
      throw GIVE_UP
    }
    const span = this.mistakes.span(this.last.end, next.end)
    this.mistakes.mend("unexpected", span, "`yes, no` is written `yes or no`.", "Write `or`", " or")
    this.become(next, T.RESERVED.get("or")!, "or")
  }

  private oneOf = this.RULE("oneOf", (): TypeTree => {
    const { start } = this.word("one")
    this.word("of")
    const values = this.SUBRULE(this.values)
    return { kind: "one of", values, span: this.span(start) }
  })

  private scale = this.RULE("scale", (): TypeTree => {
    const { start } = this.word("in")
    const unit = this.SUBRULE(this.unit)
    this.word("from")
    const from = this.SUBRULE(this.quantity)
    this.ACTION(() => this.mendBetween("to"))
    this.word("to")
    const to = this.SUBRULE1(this.quantity)
    const by = this.OPTION(() => { this.word("by"); return this.SUBRULE2(this.quantity) })
    return { kind: "quantity", unit, from, to, ...(by && { by }), span: this.span(start) }
  })

  protected trust = this.RULE("trust", (): Quantity => { this.word("trust"); return this.SUBRULE(this.percent) })

  protected normally = this.RULE("normally", (into: Draft<Bare<ReadingDecl>> = { kind: "reading" }): void => {
    const { start } = this.word("normally")
    const condition = this.SUBRULE(this.condition, { ARGS: [true] })
    into.normally = { condition, span: this.span(start) }
    this.attempt(() => {
      const chance = this.SUBRULE(this.percent)
      into.normally = { condition, chance, span: this.span(start) }
    })
  })

  // test

  protected reads = this.RULE("reads", (into?: Draft<Bare<TestDecl>>): void => {
    this.ofKind(this.word("reads"), into)
    this.SUBRULE(this.names, { ARGS: [into?.reads] })
  })

  protected swaps = this.RULE("swaps", (into?: Draft<Bare<TestDecl>>): Name => {
    this.ofKind(this.word("swaps"), into)
    return this.SUBRULE(this.name)
  })

  protected redoes = this.RULE("redoes", (into?: Draft<Bare<TestDecl>>): void => {
    this.ofKind(this.word("redoes"), into)
    const add = (item: RedoesItem) => void into?.redoes.push(item)
    add(this.SUBRULE(this.redone))
    this.MANY({
      GATE: () => this.goesOn(),
      DEF: () => {
        const comma = this.OPTION(() => this.CONSUME(T.Comma))
        const item = this.SUBRULE1(this.redone)
        add(comma === undefined ? { ...item, setup: { ...item.setup, lacksComma: true } } : item)
      },
    })
  })

  private redone = this.RULE("redone", (): RedoesItem => {
    const setup = this.SUBRULE(this.name)
    const cures = this.OPTION(() => this.SUBRULE(this.percent))
    return { setup, ...(cures && { cures }) }
  })

  private ofKind(word: Lexeme, into: Draft<Bare<TestDecl>> | undefined): void {
    into?.kinds.push({ text: word.key, span: this.mistakes.spanOf(word) })
  }

  protected takes = this.RULE("takes", (): Quantity => { this.word("takes"); return this.SUBRULE(this.quantity) })

  protected costs = this.RULE("costs", (): Quantity => { this.word("costs"); return this.SUBRULE(this.plain) })

  protected risks = this.RULE("risks", (): TestDecl["risks"][number] => {
    this.word("risks")
    const part = this.SUBRULE(this.name)
    return { part, chance: this.SUBRULE(this.percent) }
  })

  protected needs = this.RULE("needs", (): Text => { this.word("needs"); return this.SUBRULE(this.quoted, { ARGS: ["tool"] }) })

  protected power = this.RULE("power", (): { on: boolean; span: ShowsClause["span"] } => {
    const { start } = this.word("power")
    const on = this.OR([
      { ALT: () => { this.word("on"); return true } },
      { ALT: () => { this.word("off"); return false } },
    ])
    return { on, span: this.span(start) }
  })

  protected after = this.RULE("after", (into?: Name[]): void => {
    this.word("after")
    this.SUBRULE(this.names, { ARGS: [into] })
  })

  protected onlyIf = this.RULE("onlyIf", (): Condition => {
    this.word("only")
    this.word("if")
    return this.SUBRULE(this.condition)
  })

  protected tries = this.RULE("tries", (): Quantity => { this.word("tries"); return this.SUBRULE(this.plain) })

  protected caution = this.RULE("caution", (): Text => { this.word("caution"); return this.SUBRULE(this.quoted, { ARGS: ["caution"] }) })

  // proof

  protected times = this.RULE("times", (): Quantity => { this.word("times"); return this.SUBRULE(this.plain) })

  protected expects = this.RULE("expects", (): { reading: Name; condition: Condition; span: ShowsClause["span"] } => {
    const { start } = this.word("expects")
    const reading = this.SUBRULE(this.name)
    const condition = this.SUBRULE(this.condition, { ARGS: [true] })
    return { reading, condition, span: this.span(start) }
  })

  protected forPlaces = this.RULE("forPlaces", (into?: Name[]): void => {
    this.word("for")
    this.SUBRULE(this.names, { ARGS: [into] })
  })

  // rule

  protected because = this.RULE("because", (): Text => { this.word("because"); return this.SUBRULE(this.quoted, { ARGS: ["reason"] }) })
}
