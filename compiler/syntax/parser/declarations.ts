import type { Lexeme } from "../lexer/lexer.ts"
import type { Mistakes } from "../recovery/parse-errors.ts"
import type {
  Condition,
  FaultDecl,
  NeverDecl,
  PartDecl,
  ProofDecl,
  ReadingDecl,
  RulesetDecl,
  SetupDecl,
  TestDecl,
  Text,
} from "../syntax-tree.ts"
import type { Bare, Draft } from "./clauses.ts"
import { Rules } from "./rules.ts"

/** The grammar of the language: a rule for each declaration, from its keyword to the end of its tokens. */
// biome-ignore format: an alternative on a line reads as the grammar that it is
export class Grammar extends Rules {
  /** `checked`: have the library look for ambiguities in the grammar. */
  constructor(checked = false) {
    super(checked)
    this.performSelfAnalysis()
  }

  /** Reads one declaration, whose first token is its keyword; what is wrong goes into `mistakes`. */
  read(tokens: Lexeme[], mistakes: Mistakes): Bare {
    this.begin(tokens, mistakes)
    return this.declaration()
  }

  private declaration = this.RULE("declaration", (): Bare => {
    return this.OR<Bare>([
      { ALT: () => this.SUBRULE(this.ruleset) },
      { ALT: () => this.SUBRULE(this.use) },
      { ALT: () => this.SUBRULE(this.part) },
      { ALT: () => this.SUBRULE(this.setup) },
      { ALT: () => this.SUBRULE(this.complaint) },
      { ALT: () => this.SUBRULE(this.fault) },
      { ALT: () => this.SUBRULE(this.told) },
      { ALT: () => this.SUBRULE(this.reading) },
      { ALT: () => this.SUBRULE(this.test) },
      { ALT: () => this.SUBRULE(this.rule) },
      { ALT: () => this.SUBRULE(this.never) },
      { ALT: () => this.SUBRULE(this.proof) },
    ])
  })

  private ruleset = this.RULE("ruleset", (): Bare<RulesetDecl> => {
    this.word("ruleset")
    const head = this.SUBRULE(this.head, { ARGS: ["title"] })
    const draft: Draft<Bare<RulesetDecl>> = { kind: "ruleset", ...head }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.version = this.SUBRULE(this.version) } },
      { ALT: () => { d.money = this.SUBRULE(this.money) } },
      { ALT: () => { d.bench = this.SUBRULE(this.bench) } },
      { ALT: () => { d.comeback = this.SUBRULE(this.comeback) } },
      { ALT: () => { d.handover = this.SUBRULE(this.handover) } },
      { ALT: () => { d.trust = this.SUBRULE(this.trust) } },
    ]))
    return draft
  })

  private use = this.RULE("use", (): Bare => {
    this.word("use")
    let path: Text | undefined
    this.attempt(() => { path = this.SUBRULE(this.path) }, [])
    this.ACTION(() => this.nothingMore())
    return { kind: "use", ...(path && { path }) }
  })

  private path = this.RULE("path", (): Text => this.SUBRULE(this.text))

  private part = this.RULE("part", (): Bare<PartDecl> => {
    this.word("part")
    const head = this.SUBRULE(this.head, { ARGS: ["label"] })
    const draft: Draft<Bare<PartDecl>> = { kind: "part", ...head, behind: [] }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.price = this.SUBRULE(this.price) } },
      { ALT: () => { d.spare = this.mistakes.spanOf(this.word("spare")) } },
      { ALT: () => this.SUBRULE(this.behind, { ARGS: [d.behind] }) },
    ]))
    return draft
  })

  private setup = this.RULE("setup", (): Bare<SetupDecl> => {
    this.word("setup")
    const head = this.SUBRULE(this.head, { ARGS: ["label"] })
    const draft: Draft<Bare<SetupDecl>> = { kind: "setup", ...head, behind: [] }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.of = this.SUBRULE(this.of) } },
      { ALT: () => this.SUBRULE(this.behind, { ARGS: [d.behind] }) },
      { ALT: () => { d.cures = this.SUBRULE(this.redo) } },
    ]))
    return draft
  })

  private complaint = this.RULE("complaint", (): Bare => {
    this.word("complaint")
    const head = this.SUBRULE(this.head, { ARGS: ["text"] })
    this.ACTION(() => this.nothingMore())
    return { kind: "complaint", ...head }
  })

  private fault = this.RULE("fault", (): Bare<FaultDecl> => {
    this.word("fault")
    const head = this.SUBRULE(this.head, { ARGS: ["label"] })
    const draft: Draft<Bare<FaultDecl>> = { kind: "fault", ...head, shows: [] }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.place = this.SUBRULE(this.place) } },
      { ALT: () => { d.odds = this.SUBRULE(this.odds) } },
      { ALT: () => { d.shows.push(this.SUBRULE(this.shows)) } },
      { ALT: () => { d.remedy = this.SUBRULE(this.remedy) } },
      { ALT: () => this.SUBRULE(this.fix, { ARGS: [d] }) },
    ]))
    return draft
  })

  private told = this.RULE("told", (): Bare<ReadingDecl> => {
    this.word("told")
    const head = this.SUBRULE(this.head, { ARGS: ["question"] })
    const draft: Draft<Bare<ReadingDecl>> = { kind: "told", ...head }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.type = this.SUBRULE(this.type) } },
      { ALT: () => { d.trust = this.SUBRULE(this.trust) } },
      { ALT: () => { d.takes = this.SUBRULE(this.takes) } },
    ]))
    this.ACTION(() => this.hasType(draft))
    return draft
  })

  private reading = this.RULE("reading", (): Bare<ReadingDecl> => {
    this.word("reading")
    const head = this.SUBRULE(this.head, { ARGS: ["question"] })
    const draft: Draft<Bare<ReadingDecl>> = { kind: "reading", ...head }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.type = this.SUBRULE(this.type) } },
      { ALT: () => this.SUBRULE(this.normally, { ARGS: [d] }) },
    ]))
    this.ACTION(() => this.hasType(draft))
    return draft
  })

  private test = this.RULE("test", (): Bare<TestDecl> => {
    this.word("test")
    const head = this.SUBRULE(this.head, { ARGS: ["instruction"] })
    const lists = { kinds: [], reads: [], redoes: [], risks: [], needs: [], after: [], cautions: [] }
    const draft: Draft<Bare<TestDecl>> = { kind: "test", ...head, ...lists }
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => this.SUBRULE(this.reads, { ARGS: [d] }) },
      { ALT: () => { d.swaps = this.SUBRULE(this.swaps, { ARGS: [d] }) } },
      { ALT: () => this.SUBRULE(this.redoes, { ARGS: [d] }) },
      { ALT: () => { d.takes = this.SUBRULE(this.takes) } },
      { ALT: () => { d.costs = this.SUBRULE(this.costs) } },
      { ALT: () => { d.risks.push(this.SUBRULE(this.risks)) } },
      { ALT: () => { d.needs.push(this.SUBRULE(this.needs)) } },
      { ALT: () => { d.power = this.SUBRULE(this.power) } },
      { ALT: () => this.SUBRULE(this.after, { ARGS: [d.after] }) },
      { ALT: () => { d.onlyIf = this.SUBRULE(this.onlyIf) } },
      { ALT: () => { d.tries = this.SUBRULE(this.tries) } },
      { ALT: () => { d.cautions.push(this.SUBRULE(this.caution)) } },
    ]))
    return draft
  })

  private never = this.RULE("never", (): Bare<NeverDecl> => {
    this.word("never")
    let condition: Condition | undefined
    this.attempt(() => { condition = this.SUBRULE(this.condition) }, [])
    this.ACTION(() => this.nothingMore())
    return { kind: "never", ...(condition && { condition }) }
  })

  private proof = this.RULE("proof", (): Bare<ProofDecl> => {
    this.word("proof")
    const draft: Draft<Bare<ProofDecl>> = { kind: "proof", places: [] }
    this.attempt(() => { draft.text = this.SUBRULE(this.proofText) }, this.clauseWords)
    this.MANY(this.clauses(draft, (d) => [
      { ALT: () => { d.times = this.SUBRULE(this.times) } },
      { ALT: () => { d.takes = this.SUBRULE(this.takes) } },
      { ALT: () => { d.expects = this.SUBRULE(this.expects) } },
      { ALT: () => this.SUBRULE(this.forPlaces, { ARGS: [d.places] }) },
    ]))
    return draft
  })

  private proofText = this.RULE("proofText", (): Text => this.SUBRULE(this.text))

  private hasType(draft: Bare<ReadingDecl>): void {
    if (draft.type !== undefined || !this.mistakes.whole) return
    const what = draft.kind === "told" ? "question" : "reading"
    this.mistakes.report("incomplete", this.mistakes.keyword, `This ${what} has no type.`, {
      help: "Behind the question stands `yes or no`, `one of a, b, c`, or `in UNIT from N to N`.",
    })
  }
}
