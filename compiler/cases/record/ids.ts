/** Which ids have been met, and where: two records of one id are one job counted twice, or two that can't be told apart. */
export class Ids {
  readonly #lines = new Map<string, number>()

  /** The line that has had this id before; undefined where it is the first. */
  before(id: string, line: number): number | undefined {
    const first = this.#lines.get(id)
    if (first === undefined && this.#lines.size < MOST) this.#lines.set(id, line)
    return first
  }
}

/** What a map holds; more cases than that are not held against each other. */
const MOST = 16_000_000

/** The id of a line of JSON, without reading all of it where it begins with the id, as records that are written here do. */
export function idIn(line: string): string | undefined {
  const [, plain] = /^\s*\{\s*"id"\s*:\s*"([^"\\]{1,200})"/.exec(line) ?? []
  if (plain !== undefined) return plain
  try {
    const { id } = Object(JSON.parse(line)) as { id?: unknown }
    return typeof id === "string" ? id : undefined
  } catch {
    return undefined
  }
}

export const doubledId = (id: string, before: string) =>
  `This case has the same id as ${before}, ${id}: it is one job written twice, or two that can't be told apart.`
