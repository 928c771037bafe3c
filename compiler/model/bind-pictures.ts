import type { GraphPictureUse } from "../run/graph.ts"
import { type PictureIndex, type Table, tableOf } from "../run/indexes.ts"
import type { PictureTree } from "../syntax/syntax-tree.ts"
import type { Report } from "./codes.ts"
import type { Picture, Pictured } from "./model.ts"
import { declaredPictures } from "./pictures/declared-pictures.ts"
import type { LoadedPictures } from "./pictures/load-pictures.ts"

/** The pictures that binding meets, each once. */
export class PictureList {
  readonly #loaded: LoadedPictures
  readonly #report: Report
  readonly #byDigest = new Map<string, PictureIndex>()
  readonly #all: Picture[] = []

  constructor(loaded: LoadedPictures, report: Report) {
    this.#loaded = loaded
    this.#report = report
  }

  get all(): { readonly pictures?: Table<PictureIndex, Picture> } {
    return this.#all.length === 0 ? {} : { pictures: tableOf(this.#all) }
  }

  /** Those of a declaration. What couldn't be read has been reported, and is left out. */
  of(...declared: Parameters<typeof declaredPictures>): Pictured {
    const pictures = declaredPictures(...declared).flatMap(({ tree, ...of }) =>
      this.#use(tree).map((use) => ({ ...use, ...of })),
    )
    return pictures.length === 0 ? {} : { pictures }
  }

  #use(tree: PictureTree): GraphPictureUse[] {
    const { text } = tree
    if (text?.value.trim() === "")
      this.#report.say("missing-clause", text.span, "This picture doesn't say what it shows.", {
        help: 'Write it in words, for whoever can\'t see it: `picture "images/probe.svg" "the probe on pin 3"`.',
      })
    const picture = this.#loaded.get(tree)
    return picture && text ? [{ picture: this.#indexOf(picture), text: text.value }] : []
  }

  #indexOf(picture: Picture): PictureIndex {
    const known = this.#byDigest.get(picture.digest)
    if (known !== undefined) return known
    const index = (this.#all.push(picture) - 1) as PictureIndex
    this.#byDigest.set(picture.digest, index)
    return index
  }
}
