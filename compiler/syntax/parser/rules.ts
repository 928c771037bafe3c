import * as T from "../lexer/token-types.ts"
import { quoteToken } from "../recovery/read-as-meant.ts"
import type { FaultsTree, Name, RuleDecl } from "../syntax-tree.ts"
import { GIVE_UP } from "./base-parser.ts"
import type { Bare, Draft } from "./clauses.ts"
import { Heads } from "./heads.ts"

const STAGES = ["rule", "leaves", "because"]

/**
 * `[rule NAME:] when CONDITION rule out FAULTS [because "text"]`. Its parts have an order, unlike clauses; after a
 * mistake in one part it goes on at the next, so that each part's own mistake is reported.
 */
// biome-ignore format: an alternative on a line reads as the grammar that it is
export class Rules extends Heads {
  protected rule = this.RULE("rule", (): Bare<RuleDecl> => {
    const draft: Draft<Bare<RuleDecl>> = { kind: "rule" }
    this.ACTION(() => { this.clauseWords = ["when", ...STAGES] })
    this.OPTION(() => {
      this.word("rule")
      this.attempt(() => { draft.name = this.SUBRULE(this.ruleName) }, [":", "when"])
      const colon = this.OPTION1(() => this.CONSUME(T.Colon))
      if (colon === undefined) this.ACTION(() => this.lacksColon())
    })
    this.attempt(() => { this.word("when") })
    this.ACTION(() => { this.clauseWords = STAGES })
    this.attempt(() => {
      this.ACTION(() => this.hasCondition())
      draft.condition = this.SUBRULE(this.condition)
    }, STAGES)
    this.attempt(() => {
      this.ACTION(() => { this.dropJoint(); this.hasVerdict() })
      draft.verb = this.SUBRULE(this.verdict)
      draft.faults = this.SUBRULE(this.faults)
    }, ["because"])
    this.ACTION(() => { this.clauseWords = ["because"] })
    this.MANY(this.clauses(draft, (d) => [{ ALT: () => { d.because = this.SUBRULE(this.because) } }]))
    return draft
  })

  private ruleName = this.RULE("ruleName", (): Name => this.SUBRULE(this.name))

  private verdict = this.RULE("verdict", (): "rule out" | "leaves only" => {
    this.ACTION(() => this.meant(["rule", "leaves"]))
    return this.OR<"rule out" | "leaves only">([
      { ALT: () => { this.word("rule"); this.word("out"); return "rule out" } },
      { ALT: () => this.SUBRULE(this.leaves) },
    ])
  })

  private leaves = this.RULE("leaves", (): "leaves only" => {
    this.word("leaves")
    this.word("only")
    return "leaves only"
  })

  private faults = this.RULE("faults", (): FaultsTree => {
    const { start } = this.next
    const names: Name[] = []
    const except: Name[] = []
    let anyIn: Name | undefined
    this.ACTION(() => { this.clauseWords = ["any", "except", ...STAGES]; this.mendReserved() })
    this.OR([
      { ALT: () => this.SUBRULE(this.names, { ARGS: [names] }) },
      { ALT: () => { anyIn = this.SUBRULE(this.anyIn) } },
    ])
    this.OPTION(() => this.SUBRULE(this.except, { ARGS: [except] }))
    return { names, ...(anyIn && { anyIn }), except, span: this.span(start) }
  })

  private anyIn = this.RULE("anyIn", (): Name => {
    this.word("any")
    this.word("in")
    return this.SUBRULE(this.name)
  })

  private except = this.RULE("except", (into?: Name[]): void => {
    this.word("except")
    this.SUBRULE(this.names, { ARGS: [into] })
  })

  private lacksColon(): void {
    if (!this.mistakes.whole) return
    this.mistakes.insert(`Behind the name ${quoteToken(this.last)} a colon is missing.`, this.last, ":")
  }

  private hasCondition(): void {
    if (this.next.kind === "end" && !this.mistakes.whole) throw GIVE_UP
    if (!this.at("rule") && !this.at("leaves")) return
    this.mistakes.report("incomplete", this.mistakes.spanOf(this.last), `${quoteToken(this.last)} has no condition.`, {
      help: "Say which findings rule out, like `when glow is yes rule out supply_low`.",
    })
    throw GIVE_UP
  }

  /** `then`, an arrow, a comma or a colon between the condition and what it rules out. */
  private dropJoint(): void {
    const { next } = this
    const isJoint = [",", ":", "then", "->", "=>"].includes(next.text)
    if (isJoint && ["rule", "leaves"].includes(this.ahead(2).key)) this.dropNeedless()
  }

  private hasVerdict(): void {
    if (this.next.kind !== "end" && !this.at("because")) return
    if (!this.mistakes.whole) throw GIVE_UP
    this.mistakes.report("incomplete", this.mistakes.spanOf(this.last), "The rule says nothing about any fault.", {
      help: "Behind the condition stands `rule out FAULTS` or `leaves only FAULTS`.",
    })
    throw GIVE_UP
  }
}
