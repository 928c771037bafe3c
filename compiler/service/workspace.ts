import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import { bind } from "../model/bind.ts"
import { load } from "../model/load.ts"
import type { Model } from "../model/model.ts"
import { parse } from "../syntax/parser/parse.ts"
import type { Tree } from "../syntax/syntax-tree.ts"
import { translationsIn } from "./translations.ts"

/** What one version of the texts was read as. */
export interface Reading {
  /** The root first, then what it uses; files that nothing uses come last, so that they are served as well. */
  readonly trees: readonly Tree[]
  readonly diagnostics: readonly Diagnostic[]
  readonly model?: Model
}

/**
 * The texts of a ruleset and what they were last read as. Reading is done at most once for each version, and only when
 * somebody asks; while the text is broken, the last whole model still answers questions about names it knows.
 */
export class Workspace {
  /** Paths of the pictures that can be named. */
  pictures: readonly string[] = []
  #root = ""
  readonly #texts = new Map<string, string>()
  #reading: Reading | undefined
  #lastModel: Model | undefined

  set(files: Readonly<Record<string, string>>, root: string, pictures: readonly string[] = []): void {
    this.pictures = pictures
    this.#texts.clear()
    for (const [file, text] of Object.entries(files)) this.#texts.set(file, text)
    this.#root = root
    this.#reading = undefined
    this.#lastModel = undefined
  }

  change(file: string, text: string): void {
    if (this.#texts.get(file) === text) return
    this.#texts.set(file, text)
    this.#reading = undefined
  }

  get files(): readonly string[] {
    return [...this.#texts.keys()]
  }

  text(file: string): string {
    return this.#texts.get(file) ?? ""
  }

  get reading(): Reading {
    this.#reading ??= this.#read()
    return this.#reading
  }

  /** The model of this version, else of the last version that had one. */
  get model(): Model | undefined {
    return this.reading.model ?? this.#lastModel
  }

  tree(file: string): Tree | undefined {
    return this.reading.trees.find((tree) => tree.file === file)
  }

  #read(): Reading {
    const also = translationsIn(this.#texts, this.#root)
    const loaded = load(this.#root, (path) => this.#texts.get(path), undefined, also)
    const bound = bind(loaded.trees, loaded.sources, loaded.pictures)
    const lone = [...this.#texts].filter(([file]) => !loaded.sources.has(file))
    const parsed = lone.map(([file, text]) => parse(file, text))
    if (bound.model) this.#lastModel = bound.model
    return {
      trees: [...loaded.trees, ...parsed.map(({ tree }) => tree)],
      diagnostics: [
        ...loaded.diagnostics,
        ...bound.diagnostics,
        ...parsed.flatMap(({ diagnostics }) => diagnostics),
      ],
      ...(bound.model ? { model: bound.model } : {}),
    }
  }
}
