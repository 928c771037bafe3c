import type { Rule, TokenParser } from "./token-parser.ts"

/** Keeps what an argument says: lists give their items one by one, so that what comes before a mistake is kept. */
export type Keep = (value: unknown) => void

/** Reads an argument. `start`: the offset at which the clause begins; `what`: a text is called in a message. */
export type ArgumentRule = Rule<
  void,
  [keep?: Keep | undefined, start?: number | undefined, what?: string | undefined]
>

/** The library's first run of a rule, without tokens, gives it nothing. */
export function argumentRule(
  $: TokenParser,
  name: string,
  read: (keep: Keep, start: number, what: string) => void,
): ArgumentRule {
  return $.rule(name, (keep: Keep = () => {}, start = 0, what = "text") => read(keep, start, what))
}
