import type { DeclarationSpec } from "./statements.ts"

/** How a clause begins. */
interface Opening {
  readonly words: string
  readonly second: string
  readonly example: string
  /** What may stand only once; empty where it may stand more often. */
  readonly once: string
}

/** How the clauses of a declaration begin. */
export interface Openings {
  readonly firstWords: readonly string[]
  readonly byFirstWord: ReadonlyMap<string, readonly Opening[]>
  /** What a clause of these words may stand once as. */
  onceOf(words: string): string
}

const known = new Map<DeclarationSpec, Openings>()

export function openingsOf(spec: DeclarationSpec): Openings {
  const openings = known.get(spec) ?? read(spec)
  known.set(spec, openings)
  return openings
}

function read({ clauses }: DeclarationSpec): Openings {
  const byFirstWord = new Map<string, Opening[]>()
  for (const { words, example, repeats } of clauses) {
    const [first = "", second = ""] = words.split(" ")
    // A question has one type, in whichever words.
    const isType = clauses[0]!.words === "yes or no" && ["yes", "one", "in"].includes(first)
    const once = repeats ? "" : isType ? "type" : words
    byFirstWord.set(first, [...(byFirstWord.get(first) ?? []), { words, second, example, once }])
  }
  const all = [...byFirstWord.values()].flat()
  const onceOf = (words: string): string => all.find((each) => each.words === words)?.once ?? ""
  return { firstWords: [...byFirstWord.keys()], byFirstWord, onceOf }
}
