import { ProofCache } from "../../check/proof-cache.ts"
import { type Compiling, startCompile } from "../../compile.ts"
import { type Diagnostic, inOrder } from "../../diagnostics/diagnostic.ts"
import { Lines } from "../../diagnostics/line-index.ts"
import { load } from "../../model/load.ts"
import { makeService, type Service } from "../../service/index.ts"

/** What a project reads; undefined for what isn't there. */
export interface Readers {
  /** As the editor has it, else as the disk has it. */
  readonly text: (file: string) => string | undefined
  readonly picture: (path: string) => Uint8Array | undefined
  /** The paths of the pictures that a ruleset can name. */
  readonly pictures: () => readonly string[]
}

const NOTHING = new Lines("")

/** What an analysis of one version of the texts has said. */
interface Analysed {
  readonly version: number
  readonly compiling: Compiling
}

/**
 * A ruleset with the files that it uses, or a file that no ruleset uses. The service answers for every version of the
 * texts; the analysis and the plan are of the version for which they were last asked.
 */
export class Project {
  readonly service: Service = makeService()
  /** Counts the changes. */
  version = 0
  readonly isLone: boolean
  readonly #root: string
  readonly #readers: Readers
  /** As they were when the files were last loaded: reading and checking one takes longer than a keystroke. */
  readonly #pictures = new Map<string, Uint8Array | undefined>()
  readonly #texts = new Map<string, Lines>()
  readonly #proofs = new ProofCache()
  #analysed: Analysed | undefined

  /** `isLone`: the file has no ruleset, and is one of none. */
  constructor(root: string, readers: Readers, isLone: boolean) {
    this.#root = root
    this.#readers = readers
    this.isLone = isLone
    this.#load()
    this.#setAll()
  }

  get root(): string {
    return this.#root
  }

  get files(): readonly string[] {
    return [...this.#texts.keys()]
  }

  has(file: string): boolean {
    return this.#texts.has(file)
  }

  text(file: string): string {
    return this.lines(file).text
  }

  lines(file: string): Lines {
    return this.#texts.get(file) ?? NOTHING
  }

  /** A new text of one of its files. */
  change(file: string, text: string): void {
    const usedOthers = usesIn(this.text(file)) !== usesIn(text)
    this.#texts.set(file, new Lines(text))
    this.service.change(file, text)
    this.version++
    if (usedOthers) this.reload()
  }

  /** Reads again which files are used, those that are new, and which pictures can be named. */
  reload(): void {
    const known = this.files
    this.#load()
    // Setting all files forgets what the last whole ruleset was, so it is done only where one is gone.
    if (known.every((file) => this.has(file))) {
      for (const [file, { text }] of this.#texts) this.service.change(file, text)
      this.service.setPictures(this.#readers.pictures())
    } else this.#setAll()
    this.version++
  }

  /** The problems of this version: after an analysis all of them, before it those of the text and its names. */
  get diagnostics(): readonly Diagnostic[] {
    if (this.#analysed?.version === this.version) return this.#analysed.compiling.diagnostics
    const said = this.service.diagnostics()
    return this.isLone ? said.filter(({ span }) => span.file === this.#root) : inOrder(said)
  }

  /** Analyses this version. What can be planned is planned by advancing what it gives. */
  analyse(): Compiling | undefined {
    if (this.isLone) return undefined
    if (this.#analysed?.version !== this.version) {
      const compiling = startCompile(this.#root, (path) => this.#texts.get(path)?.text, {
        proofs: this.#proofs,
        readPicture: (path) => this.#picture(path),
      })
      this.#analysed = { version: this.version, compiling }
    }
    return this.#analysed.compiling
  }

  #picture(path: string): Uint8Array | undefined {
    if (!this.#pictures.has(path)) this.#pictures.set(path, this.#readers.picture(path))
    return this.#pictures.get(path)
  }

  #setAll(): void {
    const texts = [...this.#texts].map(([file, { text }]) => [file, text])
    this.service.set(Object.fromEntries(texts), this.isLone ? "" : this.#root, this.#readers.pictures())
  }

  #load(): void {
    const { text: read } = this.#readers
    const texts = this.isLone
      ? [[this.#root, read(this.#root) ?? ""] as const]
      : load(this.#root, read).sources
    this.#pictures.clear()
    this.#texts.clear()
    for (const [file, text] of texts) this.#texts.set(file, new Lines(text))
  }
}

/** The paths that a text may use, to see whether an edit touches them. */
function usesIn(text: string): string {
  return [...text.matchAll(/\buse\s+"[^"\n]*"/gi)].map(([use]) => use).join("\n")
}
