import type { Graph } from "../../compiler/run/graph.ts"
import { bestLanguage } from "../../compiler/wording/best-language.ts"
import type { Texts } from "../../compiler/wording/message.ts"
import { Words } from "../../compiler/wording/words.ts"
import { unbroken } from "../ui/unbroken.ts"

/** What is said in a job comes of its graph, and of the words of the bench. */
export interface JobTexts {
  readonly graph: Graph
  readonly words: Words
}

/** By language, what the tool says in it. */
export type TextsByLanguage = Readonly<Record<string, Texts>>

/** The words of the bench in every language, each made once; what is in no catalogue is said in English. */
export class BenchWords {
  #texts: TextsByLanguage = {}
  readonly #made = new Map<string, Words>()

  add(texts: TextsByLanguage): void {
    this.#texts = { ...this.#texts, ...texts }
    this.#made.clear()
  }

  readonly in = (language: string): Words => {
    const words = this.#made.get(language) ?? this.#make(language)
    this.#made.set(language, words)
    return words
  }

  #make(language: string): Words {
    const own = bestLanguage(Object.keys(this.#texts), [language])
    try {
      return unbroken(new Words(language, own === undefined ? {} : this.#texts[own]))
    } catch (error) {
      // A stranger's graph may have anything for a tag.
      if (!(error instanceof RangeError)) throw error
      return this.in("en")
    }
  }
}
