/** What somebody types to say what was done: `rail 24.1 V`, `try_panel stays`, `put back panel gone`, `fix ribbon_loose gone`. */
import type { Act, Graph } from "../../run/index.ts"
import type { Words } from "../../wording/words.ts"
import { inEnglish, inWords } from "./typed-phrases.ts"

export interface TypedAct {
  readonly act: Act
  /** What was found, as typed. */
  readonly found: string
}

/** Undefined if the words name nothing in the graph that can be done. */
export function parseAct(graph: Graph, text: string, words: Words): TypedAct | undefined {
  const said = inEnglish(text, "act", words).split(/\s+/)
  // Names have small letters; the first word of a sentence on a phone has none.
  const [first = "", second = "", third = ""] = said.slice(0, 3).map((word) => word.toLowerCase())
  const typed = (act: Act, used: number): TypedAct => ({ act, found: said.slice(used).join(" ") })
  const isPart = (name: string) => graph.places.some((place) => place.kind === "part" && place.name === name)
  if (first === "put" && second === "back" && isPart(third)) return typed({ putBack: third }, 3)
  if (first === "take" && second === "out" && isPart(third)) return typed({ takeOut: third }, 3)
  if (first === "keep" && isPart(second)) return typed({ keep: second }, 2)
  if (first === "replace" && isPart(second)) return typed({ replace: second }, 2)
  if (first === "fix" && graph.faults.some(({ name }) => name === second)) return typed({ fix: second }, 2)
  if (first === "look") return typed({ look: true }, second === "again" ? 2 : 1)
  if (first === "proof" && second === "run") return typed({ close: true }, 2)
  if (first === "hand" && second === "over") return typed({ handOver: true }, 2)
  if (graph.tests.some(({ name }) => name === first)) return typed({ test: first }, 1)
  if (graph.readings.some(({ name }) => name === first)) return typed({ reading: first }, 1)
  return undefined
}

/** How an act is typed, with its names: `try_panel`, `put back panel`, `proof run`. */
export function typedAct(act: Act, words: Words): string {
  const typed = (phrase: string, name = "") => `${inWords(phrase, words)} ${name}`.trimEnd()
  if ("test" in act) return act.test
  if ("reading" in act) return act.reading
  if ("putBack" in act) return typed("put back", act.putBack)
  if ("takeOut" in act) return typed("take out", act.takeOut)
  if ("keep" in act) return typed("keep", act.keep)
  if ("replace" in act) return typed("replace", act.replace)
  if ("fix" in act) return typed("fix", act.fix)
  if ("look" in act) return typed("look again")
  return typed("close" in act ? "proof run" : "hand over")
}
