import { quote } from "../../diagnostics/escape.ts"
import { COMPARING, SYMBOLS } from "../language/comparisons.ts"
import * as T from "../lexer/token-types.ts"
import type { Comparison, Name, Quantity } from "../syntax-tree.ts"
import { Ranges } from "./ranges.ts"

const IN_TWO_WORDS = new Map([
  ["is not", T.NotEqual],
  ["at least", T.NoLess],
  ["at most", T.NoMore],
])

interface Relation {
  readonly comparison: Comparison
  readonly values: readonly Name[]
  readonly numbers: readonly Quantity[]
}

/** Comparisons, without the reading that is compared. */
export class Relations extends Ranges {
  protected relation = this.RULE("relation", (): Relation => {
    this.ACTION(() => this.mendRelation())
    return this.OR<Relation>([
      { ALT: () => this.SUBRULE(this.identity) },
      { ALT: () => this.SUBRULE(this.below) },
      { ALT: () => this.SUBRULE(this.above) },
      { ALT: () => this.SUBRULE(this.atLimit) },
      { ALT: () => this.SUBRULE(this.between) },
      { ALT: () => this.SUBRULE(this.outside) },
      { GATE: () => this.atRange(), ALT: () => this.SUBRULE(this.range) },
      { GATE: () => this.atBareValue(), ALT: () => this.SUBRULE(this.bareValue) },
    ])
  })

  private identity = this.RULE("identity", (): Relation => {
    return this.OR<Relation>([
      {
        ALT: () => {
          this.word("is")
          return this.OR1<Relation>({
            ERR_MSG: "value",
            MAX_LOOKAHEAD: 1,
            IGNORE_AMBIGUITIES: true,
            DEF: [
              // Always the negation: a value that is called `not` can be had by `is one of not`.
              { ALT: () => this.SUBRULE(this.negation) },
              { GATE: () => this.ahead(2).key === "of", ALT: () => this.SUBRULE(this.choice) },
              { ALT: () => amongValues("is", [this.SUBRULE(this.value)]) },
            ],
          })
        },
      },
      {
        ALT: () => {
          this.CONSUME(T.NotEqual)
          return amongValues("is not", [this.SUBRULE1(this.value)])
        },
      },
    ])
  })

  private negation = this.RULE("negation", (): Relation => {
    this.word("not")
    return amongValues("is not", [this.SUBRULE(this.value)])
  })

  private choice = this.RULE("choice", (): Relation => {
    this.word("one")
    this.word("of")
    return amongValues("is one of", this.SUBRULE(this.values))
  })

  private below = this.RULE("below", (): Relation => {
    this.word("below")
    return amongNumbers("below", this.SUBRULE(this.quantity))
  })

  private above = this.RULE("above", (): Relation => {
    this.word("above")
    return amongNumbers("above", this.SUBRULE(this.quantity))
  })

  private atLimit = this.RULE("atLimit", (): Relation => {
    const comparison = this.SUBRULE(this.extreme)
    return amongNumbers(comparison, this.SUBRULE(this.quantity))
  })

  private extreme = this.RULE("extreme", (): Comparison => {
    return this.OR<Comparison>([
      {
        ALT: () => {
          this.word("at")
          this.ACTION(() => this.meant(["least", "most"]))
          return this.OR1<Comparison>([
            {
              ALT: () => {
                this.word("least")
                return "at least"
              },
            },
            {
              ALT: () => {
                this.word("most")
                return "at most"
              },
            },
          ])
        },
      },
      {
        ALT: () => {
          this.CONSUME(T.NoLess)
          return "at least"
        },
      },
      {
        ALT: () => {
          this.CONSUME(T.NoMore)
          return "at most"
        },
      },
    ])
  })

  private between = this.RULE("between", (): Relation => {
    this.word("between")
    const low = this.SUBRULE(this.quantity)
    this.ACTION(() => this.mendBetween("and"))
    this.word("and")
    return amongNumbers("between", low, this.SUBRULE1(this.quantity))
  })

  private outside = this.RULE("outside", (): Relation => {
    this.word("outside")
    const low = this.SUBRULE(this.quantity)
    this.ACTION(() => this.mendBetween("and"))
    this.word("and")
    return amongNumbers("outside", low, this.SUBRULE1(this.quantity))
  })

  /** `flow no`, where `flow is no` is meant. */
  private bareValue = this.RULE("bareValue", (): Relation => {
    const { text, start, end } = this.OR([{ ALT: () => this.word("yes") }, { ALT: () => this.word("no") }])
    const span = this.mistakes.span(start, end)
    this.ACTION(() => this.mistakes.insertBefore("is", span))
    return amongValues("is", [{ text, span }])
  })

  /** `yes` or `no`, and no number for it to be compared with. */
  private atBareValue(): boolean {
    const { next } = this
    if (next.key !== "yes" && next.key !== "no") return false
    return this.ahead(2).kind !== "number" || this.ahead(3).key === "%"
  }

  /** `5–10 V`, where `between 5 and 10 V` is meant. */
  private range = this.RULE("range", (): Relation => {
    const low = this.SUBRULE(this.quantity)
    this.word("and")
    return amongNumbers("between", low, this.SUBRULE1(this.quantity))
  })

  protected mendRelation(): void {
    this.mendSpoken()
    if (this.meant(COMPARING)) return
    const meant = this.next.tokenType === T.Sign ? SYMBOLS[this.next.text] : undefined
    if (meant !== undefined && meant !== "and" && meant !== "or" && meant !== "not") this.mendSymbol(meant)
  }

  /** Reports a symbol of other languages, and makes it what it means. */
  protected mendSymbol(meant: string): void {
    const token = this.next
    // `= 3`: that a number is not compared so is the one thing to say.
    if (meant !== "is" || this.ahead(2).kind !== "number") {
      const message = `${quote(token.text)} is written \`${meant}\`.`
      const span = this.mistakes.spanOf(token)
      const before = this.last.end === token.start ? " " : ""
      const behind = this.ahead(2).start === token.end ? " " : ""
      this.mistakes.mend("symbol", span, message, `Write \`${meant}\``, before + meant + behind)
    }
    const type = IN_TWO_WORDS.get(meant)
    if (type !== undefined) this.become(token, type)
    else this.become(token, T.RESERVED.get(meant)!, meant)
  }
}

function amongValues(comparison: Comparison, values: readonly Name[]): Relation {
  return { comparison, values, numbers: [] }
}

function amongNumbers(comparison: Comparison, ...numbers: readonly Quantity[]): Relation {
  return { comparison, values: [], numbers }
}
