interface Part {
  shapes: number
  readonly refers: string[]
  readonly id: string | undefined
}

/** References that follow one another further than this are none that a person drew. */
const DEEPEST = 50

/** Counts what is drawn of a drawing: each part once for every reference to it, and those in it, and so on. */
export class ShapeCount {
  readonly #open: Part[] = []
  readonly #byId = new Map<string, Part>()
  readonly #drawn = new Map<string, number>()
  #whole: Part | undefined

  enter(id: string | undefined, refers: readonly string[]): void {
    this.#open.push({ shapes: 1, refers: [...refers], id })
  }

  leave(): void {
    const part = this.#open.pop()
    if (part === undefined) return
    if (part.id !== undefined && !this.#byId.has(part.id)) this.#byId.set(part.id, part)
    const around = this.#open.at(-1)
    if (around) {
      around.shapes += part.shapes
      around.refers.push(...part.refers)
    } else this.#whole = part
  }

  /** Infinite where references lead too far; a part that refers to itself is drawn once, as browsers do. */
  get total(): number {
    return this.#whole ? this.#of(this.#whole, 0) : 0
  }

  #of({ shapes, refers }: Part, depth: number): number {
    if (depth > DEEPEST) return Number.POSITIVE_INFINITY
    return refers.reduce((sum, id) => sum + this.#referred(id, depth + 1), shapes)
  }

  #referred(id: string, depth: number): number {
    const known = this.#drawn.get(id)
    if (known !== undefined) return known
    const part = this.#byId.get(id)
    if (part === undefined) return 0
    this.#drawn.set(id, 0)
    const drawn = this.#of(part, depth)
    this.#drawn.set(id, drawn)
    return drawn
  }
}
