import { CstParser, createToken, Lexer, type TokenType } from "chevrotain"
import { KEYWORDS } from "../../compiler/syntax/language.ts"

/**
 * The syntax once more, written down from the language page as a grammar for a parser library, so that the parser has
 * an independent judge of what is in the language. It only tells yes or no, and lets a clause stand twice.
 */
const AnyWord = createToken({ name: "AnyWord", pattern: Lexer.NA })
const UnitWord = createToken({ name: "UnitWord", pattern: Lexer.NA })
const Unit = createToken({ name: "Unit", pattern: /[A-Za-zµΩ°]+(?:\/[A-Za-z]+)?/, categories: [UnitWord] })
const Name = createToken({
  name: "Name",
  pattern: /[a-z][a-z0-9_]*/,
  longer_alt: Unit,
  categories: [AnyWord, UnitWord],
})
const Text = createToken({ name: "Text", pattern: /"(?:[^"\\\r\n]|\\["\\])*"/ })
const Num = createToken({ name: "Num", pattern: /[-+]?\d+(?:\.\d+)?/ })
const mark = (name: string, pattern: string) => createToken({ name, pattern })
const [Percent, Comma, Colon, Open, Close] = [
  mark("Percent", "%"),
  mark("Comma", ","),
  mark("Colon", ":"),
  mark("Open", "("),
  mark("Close", ")"),
]
const skipped = { group: Lexer.SKIPPED }
const Space = createToken({ name: "Space", pattern: /[ \t\r\n]+/, ...skipped })
const Comment = createToken({ name: "Comment", pattern: /#[^\r\n]*/, ...skipped })

const keywords = new Map<string, TokenType>(
  // The longest first: the lexer takes the first that fits.
  [...KEYWORDS]
    .sort((a, b) => b.length - a.length)
    .map((word) => [
      word,
      createToken({ name: `K_${word}`, pattern: word, longer_alt: [Name, Unit], categories: [AnyWord] }),
    ]),
)
const tokens = [
  AnyWord,
  UnitWord,
  Space,
  Comment,
  Text,
  Num,
  Percent,
  Comma,
  Colon,
  Open,
  Close,
  ...keywords.values(),
  Name,
  Unit,
]

// biome-ignore format: an alternative on a line reads as the grammar that it is
class Grammar extends CstParser {
  constructor() {
    super(tokens, { maxLookahead: 3, nodeLocationTracking: "none" })
    this.performSelfAnalysis()
  }

  private word(key: string, occurrence: 0 | 1 | 2 = 0): void {
    this.consume(occurrence, keywords.get(key)!)
  }

  private words(...keys: string[]): void {
    for (const key of keys) this.word(key)
  }

  file = this.RULE("file", () => { this.MANY(() => this.SUBRULE(this.declaration)) })

  declaration = this.RULE("declaration", () => {
    this.OR([
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

  head = this.RULE("head", () => { this.CONSUME(Name); this.CONSUME(Text) })

  names = this.RULE("names", () => { this.AT_LEAST_ONE_SEP({ SEP: Comma, DEF: () => this.CONSUME(Name) }) })

  percent = this.RULE("percent", () => { this.CONSUME(Num); this.CONSUME(Percent) })

  quantity = this.RULE("quantity", () => { this.CONSUME(Num); this.OPTION(() => this.SUBRULE(this.unit)) })

  unit = this.RULE("unit", () => {
    this.OR([{ ALT: () => this.CONSUME(UnitWord) }, { ALT: () => this.CONSUME(Percent) }])
  })

  behind = this.RULE("behind", () => { this.word("behind"); this.SUBRULE(this.names) })

  takes = this.RULE("takes", () => { this.word("takes"); this.SUBRULE(this.quantity) })

  trust = this.RULE("trust", () => { this.word("trust"); this.SUBRULE(this.percent) })

  ruleset = this.RULE("ruleset", () => {
    this.word("ruleset")
    this.SUBRULE(this.head)
    this.MANY(() => this.SUBRULE(this.rulesetClause))
  })

  rulesetClause = this.RULE("rulesetClause", () => {
    this.OR([
      { ALT: () => { this.word("version"); this.CONSUME(Text) } },
      { ALT: () => { this.word("money"); this.CONSUME(UnitWord) } },
      { ALT: () => { this.word("bench"); this.CONSUME(Num); this.words("per", "hour") } },
      {
        ALT: () => {
          this.OR1([{ ALT: () => this.word("comeback") }, { ALT: () => this.word("handover") }])
          this.word("costs")
          this.CONSUME1(Num)
        },
      },
      { ALT: () => this.SUBRULE(this.trust) },
    ])
  })

  use = this.RULE("use", () => { this.word("use"); this.CONSUME(Text) })

  part = this.RULE("part", () => {
    this.word("part")
    this.SUBRULE(this.head)
    this.MANY(() =>
      this.OR([
        { ALT: () => { this.word("price"); this.CONSUME(Num) } },
        { ALT: () => this.word("spare") },
        { ALT: () => this.SUBRULE(this.behind) },
      ]),
    )
  })

  setup = this.RULE("setup", () => {
    this.word("setup")
    this.SUBRULE(this.head)
    this.MANY(() =>
      this.OR([
        { ALT: () => { this.word("of"); this.CONSUME(Name) } },
        { ALT: () => this.SUBRULE(this.behind) },
        { ALT: () => { this.words("redo", "cures"); this.SUBRULE(this.percent) } },
      ]),
    )
  })

  complaint = this.RULE("complaint", () => { this.word("complaint"); this.SUBRULE(this.head) })

  fault = this.RULE("fault", () => {
    this.word("fault")
    this.SUBRULE(this.head)
    this.MANY(() =>
      this.OR([
        { ALT: () => { this.word("in"); this.CONSUME(Name) } },
        { ALT: () => { this.word("odds"); this.CONSUME(Num) } },
        { ALT: () => this.SUBRULE(this.shows) },
        { ALT: () => { this.word("remedy"); this.CONSUME(Text) } },
        { ALT: () => { this.words("fix", "costs"); this.CONSUME1(Num) } },
        { ALT: () => { this.word("fix", 1); this.SUBRULE(this.takes) } },
      ]),
    )
  })

  shows = this.RULE("shows", () => {
    this.word("shows")
    this.CONSUME(Name)
    this.OR([
      { ALT: () => this.SUBRULE(this.percent) },
      { ALT: () => { this.SUBRULE(this.bare); this.OPTION(() => this.SUBRULE1(this.percent)) } },
    ])
  })

  type = this.RULE("type", () => {
    this.OR([
      { ALT: () => this.words("yes", "or", "no") },
      { ALT: () => { this.words("one", "of"); this.SUBRULE(this.values) } },
      {
        ALT: () => {
          this.word("in")
          this.SUBRULE(this.unit)
          this.word("from")
          this.SUBRULE(this.quantity)
          this.word("to")
          this.SUBRULE1(this.quantity)
          this.OPTION(() => {
            this.word("by")
            this.SUBRULE2(this.quantity)
          })
        },
      },
    ])
  })

  values = this.RULE("values", () => { this.AT_LEAST_ONE_SEP({ SEP: Comma, DEF: () => this.CONSUME(AnyWord) }) })

  told = this.RULE("told", () => {
    this.word("told")
    this.SUBRULE(this.head)
    this.AT_LEAST_ONE(() =>
      this.OR([
        { ALT: () => this.SUBRULE(this.type) },
        { ALT: () => this.SUBRULE(this.trust) },
        { ALT: () => this.SUBRULE(this.takes) },
      ]),
    )
  })

  reading = this.RULE("reading", () => {
    this.word("reading")
    this.SUBRULE(this.head)
    this.AT_LEAST_ONE(() =>
      this.OR([
        { ALT: () => this.SUBRULE(this.type) },
        { ALT: () => { this.word("normally"); this.SUBRULE(this.bare); this.SUBRULE(this.percent) } },
      ]),
    )
  })

  test = this.RULE("test", () => {
    this.word("test")
    this.SUBRULE(this.head)
    this.MANY(() => this.SUBRULE(this.testClause))
  })

  testClause = this.RULE("testClause", () => {
    this.OR([
      { ALT: () => { this.word("reads"); this.SUBRULE(this.names) } },
      { ALT: () => { this.word("swaps"); this.CONSUME(Name) } },
      {
        ALT: () => {
          this.word("redoes")
          this.AT_LEAST_ONE_SEP({
            SEP: Comma,
            DEF: () => {
              this.CONSUME1(Name)
              this.OPTION(() => this.SUBRULE(this.percent))
            },
          })
        },
      },
      { ALT: () => this.SUBRULE(this.takes) },
      { ALT: () => { this.word("costs"); this.CONSUME(Num) } },
      { ALT: () => { this.word("risks"); this.CONSUME2(Name); this.SUBRULE1(this.percent) } },
      { ALT: () => { this.word("needs"); this.CONSUME(Text) } },
      {
        ALT: () => {
          this.word("power")
          this.OR1([{ ALT: () => this.word("on") }, { ALT: () => this.word("off") }])
        },
      },
      { ALT: () => { this.word("after"); this.SUBRULE1(this.names) } },
      { ALT: () => { this.words("only", "if"); this.SUBRULE(this.condition) } },
      { ALT: () => { this.word("tries"); this.CONSUME1(Num) } },
      { ALT: () => { this.word("caution"); this.CONSUME1(Text) } },
    ])
  })

  rule = this.RULE("rule", () => {
    this.OPTION(() => {
      this.word("rule")
      this.CONSUME(Name)
      this.CONSUME(Colon)
    })
    this.word("when")
    this.SUBRULE(this.condition)
    this.OR([
      { ALT: () => { this.word("rule", 1); this.word("out") } },
      { ALT: () => this.words("leaves", "only") },
    ])
    this.OR1([
      { ALT: () => this.SUBRULE(this.names) },
      { ALT: () => { this.words("any", "in"); this.CONSUME1(Name) } },
    ])
    this.OPTION1(() => {
      this.word("except")
      this.SUBRULE1(this.names)
    })
    this.OPTION2(() => {
      this.word("because")
      this.CONSUME(Text)
    })
  })

  never = this.RULE("never", () => { this.word("never"); this.SUBRULE(this.condition) })

  proof = this.RULE("proof", () => {
    this.word("proof")
    this.CONSUME(Text)
    this.MANY(() =>
      this.OR([
        { ALT: () => { this.word("times"); this.CONSUME(Num) } },
        { ALT: () => this.SUBRULE(this.takes) },
        { ALT: () => { this.word("expects"); this.CONSUME(Name); this.SUBRULE(this.bare) } },
        { ALT: () => { this.word("for"); this.SUBRULE(this.names) } },
      ]),
    )
  })

  condition = this.RULE("condition", () => {
    this.SUBRULE(this.term)
    this.MANY(() => {
      this.OR([{ ALT: () => this.word("and") }, { ALT: () => this.word("or") }])
      this.SUBRULE1(this.term)
    })
  })

  term = this.RULE("term", () => {
    this.OR([
      { ALT: () => { this.word("not"); this.SUBRULE(this.term) } },
      { ALT: () => { this.CONSUME(Open); this.SUBRULE(this.condition); this.CONSUME(Close) } },
      { ALT: () => { this.CONSUME(Name); this.SUBRULE(this.relation) } },
    ])
  })

  bare = this.RULE("bare", () => {
    this.SUBRULE(this.bareTerm)
    this.MANY(() => {
      this.OR([{ ALT: () => this.word("and") }, { ALT: () => this.word("or") }])
      this.SUBRULE1(this.bareTerm)
    })
  })

  bareTerm = this.RULE("bareTerm", () => {
    this.OR([
      { ALT: () => { this.word("not"); this.SUBRULE(this.bareTerm) } },
      { ALT: () => { this.CONSUME(Open); this.SUBRULE(this.bare); this.CONSUME(Close) } },
      { ALT: () => this.SUBRULE(this.relation) },
    ])
  })

  relation = this.RULE("relation", () => {
    this.OR([
      { ALT: () => { this.word("is"); this.SUBRULE(this.identity) } },
      {
        ALT: () => {
          this.OR1([
            { ALT: () => this.word("below") },
            { ALT: () => this.word("above") },
            {
              ALT: () => {
                this.word("at")
                this.OR2([{ ALT: () => this.word("least") }, { ALT: () => this.word("most") }])
              },
            },
          ])
          this.SUBRULE(this.quantity)
        },
      },
      {
        ALT: () => {
          this.OR3([{ ALT: () => this.word("between") }, { ALT: () => this.word("outside") }])
          this.SUBRULE1(this.quantity)
          this.word("and")
          this.SUBRULE2(this.quantity)
        },
      },
    ])
  })

  /** `not` and `one of` are read as such wherever they can be. */
  identity = this.RULE("identity", () => {
    this.OR({
      IGNORE_AMBIGUITIES: true,
      DEF: [
        { ALT: () => { this.word("not"); this.CONSUME(AnyWord) } },
        { ALT: () => { this.words("one", "of"); this.SUBRULE(this.values) } },
        { GATE: () => this.LA(1).tokenType !== keywords.get("not"), ALT: () => this.CONSUME1(AnyWord) },
      ],
    })
  })
}

const lexer = new Lexer(tokens, { positionTracking: "onlyOffset" })
const grammar = new Grammar()

/** Whether the text is in the language, but for clauses that stand twice and questions without a type. */
export function isInLanguage(text: string): boolean {
  const lexed = lexer.tokenize(text)
  if (lexed.errors.length > 0) return false
  grammar.input = lexed.tokens
  grammar.file()
  return grammar.errors.length === 0
}
