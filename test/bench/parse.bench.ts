import { print } from "../../compiler/syntax/format/format.ts"
import { tokenize } from "../../compiler/syntax/lexer/lexer.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"
import { ms, times } from "./time.ts"

export const title =
  "Reading: text to tree, against one plain pattern that only cuts the same text into words"

const PLAIN = /[ \t\r\n]+|#[^\n]*|"(?:[^"\\\n]|\\.)*"|[A-Za-z_][A-Za-z0-9_]*|-?[0-9.]+|[^\s]/y

/** What no reader of the language can be faster than by much: the words, and nothing else. */
function plainTokens(text: string): number {
  let count = 0
  PLAIN.lastIndex = 0
  while (PLAIN.lastIndex < text.length && PLAIN.test(text)) count++
  return count
}

/** The kiosk over and over; to the parser it is no matter that names repeat. */
function ofLines(lines: number): string {
  const count = Math.ceil(lines / (KIOSK_DARK.split("\n").length - 1))
  return KIOSK_DARK.repeat(count)
}

/** Milliseconds of the best of many calls, once the engine has compiled what is hot: what the work itself takes. */
function best(work: () => unknown): number {
  const until = performance.now() + 700
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < 5 || performance.now() < until; i++) {
    const from = performance.now()
    work()
    least = Math.min(least, performance.now() - from)
  }
  return least
}

export function run(line: (text: string) => void): void {
  const results = [300, 3000, 30_000].map((lines) => {
    const text = ofLines(lines)
    const { tree } = parse("bench.ruleout", text)
    const whole = best(() => parse("bench.ruleout", text))
    const words = best(() => tokenize("bench.ruleout", text))
    const plain = best(() => plainTokens(text))
    const printing = best(() => print(tree))
    const rate = Math.round(lines / (whole / 1000)).toLocaleString("en")
    line(
      `${lines} lines: parse ${ms(whole)} (${rate} lines/s; its tokens ${ms(words)}), plain pattern ${ms(plain)}: ratio ${times(whole, plain)}; print ${ms(printing)}`,
    )
    return whole
  })
  line(
    `ten times the lines takes ${times(results[1]!, results[0]!)}, then ${times(results[2]!, results[1]!)}`,
  )

  const broken = ofLines(3000).replaceAll("price", "prise").replaceAll("takes 4 min", "takes 4,5 min )")
  line(`3000 lines with many mistakes: ${ms(best(() => parse("bench.ruleout", broken)))}`)
}
