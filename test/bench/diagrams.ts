import type { Formula } from "../../compiler/check/logic/formula.ts"

/**
 * Multi-valued decision diagrams, the other way to decide the questions of the analysis: kept here to measure against.
 * Readings in the order of their index; nodes are shared (R. Bryant 1986; A. Srinivasan et al. 1990).
 */
export class Diagrams {
  static readonly LIMIT = 300_000
  readonly #sizes: readonly number[]
  readonly #unique = new Map<string, number>()
  readonly #levels: number[] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  readonly #children: (readonly number[])[] = [[], []]
  readonly #cache = new Map<string, number>()

  constructor(sizes: readonly number[]) {
    this.#sizes = sizes
  }

  get size(): number {
    return this.#levels.length
  }

  /** A diagram of the formula (0 is false, 1 is true). @throws where it grows beyond the limit. */
  of(formula: Formula): number {
    if (formula.kind === "in")
      return this.#node(
        formula.reading,
        formula.cells.map((flag) => (flag ? 1 : 0)),
      )
    const parts = formula.items.map((item) => this.of(item))
    return formula.kind === "and" ? this.all(parts) : parts.reduce((a, b) => this.#apply("or", a, b), 0)
  }

  all(parts: readonly number[]): number {
    return parts.reduce((a, b) => this.#apply("and", a, b), 1)
  }

  any(parts: readonly number[]): number {
    return parts.reduce((a, b) => this.#apply("or", a, b), 0)
  }

  not(a: number): number {
    if (a < 2) return 1 - a
    const key = `not ${a}`
    const known = this.#cache.get(key)
    if (known !== undefined) return known
    const made = this.#node(
      this.#levels[a]!,
      this.#children[a]!.map((child) => this.not(child)),
    )
    this.#cache.set(key, made)
    return made
  }

  #apply(kind: "and" | "or", a: number, b: number): number {
    const [absorbing, neutral] = kind === "and" ? [0, 1] : [1, 0]
    if (a === absorbing || b === absorbing) return absorbing
    if (a === neutral || a === b) return b
    if (b === neutral) return a
    const key = a < b ? `${kind} ${a} ${b}` : `${kind} ${b} ${a}`
    const known = this.#cache.get(key)
    if (known !== undefined) return known
    const level = Math.min(this.#levels[a]!, this.#levels[b]!)
    const below = (node: number, cell: number) =>
      this.#levels[node] === level ? this.#children[node]![cell]! : node
    const made = this.#node(
      level,
      Array.from({ length: this.#sizes[level]! }, (_, cell) =>
        this.#apply(kind, below(a, cell), below(b, cell)),
      ),
    )
    this.#cache.set(key, made)
    return made
  }

  #node(level: number, children: readonly number[]): number {
    if (children.every((child) => child === children[0])) return children[0]!
    const key = `${level}:${children.join(",")}`
    const known = this.#unique.get(key)
    if (known !== undefined) return known
    if (this.#levels.length > Diagrams.LIMIT) throw new RangeError("too many nodes")
    const made = this.#levels.length
    this.#levels.push(level)
    this.#children.push(children)
    this.#unique.set(key, made)
    return made
  }
}
