// biome-ignore lint/suspicious/noExplicitAny: data from outside, of which nothing is known yet
export type Unknown = any

/** A predicate, which may answer with a shape that is wanted too; words with `|` of which one is wanted, the shape of a list's items, or of fields (`?` where one may be missing). */
export type Shape =
  | ((value: Unknown) => Unknown)
  | string
  | readonly [Shape]
  | { readonly [field: string]: Shape }

/** Where data is not of the shape wanted. */
export class ShapeError extends Error {
  constructor(readonly path: string) {
    super(path)
  }
}

/**
 * Holds data against a shape, in time and stack in proportion to it.
 *
 * @throws ShapeError with the path of the first place that is wrong.
 */
export function match(value: Unknown, shape: Shape, path: string): true {
  const wrong = () => new ShapeError(path)
  if (typeof shape === "function") {
    const more = shape(value)
    if (!more) throw wrong()
    if (typeof more === "object") match(value, more, path)
  } else if (typeof shape === "string") {
    if (!shape.split("|").includes(value)) throw wrong()
  } else if (isList(shape)) {
    if (!Array.isArray(value)) throw wrong()
    value.forEach((item: Unknown, i) => {
      match(item, shape[0], `${path}[${i}]`)
    })
  } else {
    if (typeof value !== "object" || value === null) throw wrong()
    for (const [field, wanted] of Object.entries(shape)) {
      const name = field.replace("?", "")
      if (name === field || value[name] !== undefined) match(value[name], wanted, `${path}.${name}`)
    }
  }
  return true
}

function isList(shape: Shape): shape is readonly [Shape] {
  return Array.isArray(shape)
}

/** Greater numbers are refused, so that no sum or product of them leaves what a double holds. */
export const GREATEST = 1e12

/** Longer texts are refused: they are shown to people, and no compiler lets one through. */
export const LONGEST_TEXT = 10_000

export const isText = (value: Unknown): boolean => typeof value === "string" && value.length <= LONGEST_TEXT
export const isFlag = (value: Unknown) => typeof value === "boolean"
export const isNumber = (value: Unknown) => typeof value === "number" && Math.abs(value) <= GREATEST
export const isAmount = (value: Unknown) => isNumber(value) && value >= 0
export const isChance = (value: Unknown) => isAmount(value) && value <= 1
export const isCount = (value: Unknown, most: number) =>
  Number.isInteger(value) && value >= 1 && value <= most
export const isIndexIn = (list: Unknown) => (value: Unknown) =>
  Number.isInteger(value) && value >= 0 && value < list.length
