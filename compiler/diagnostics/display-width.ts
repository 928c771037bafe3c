import { eastAsianWidth } from "get-east-asian-width"
import { codeOf } from "./escape.ts"

/** Combining marks, joiners and selectors of a variant stand on the character before them. */
const NO_WIDTH = /\p{M}|\p{Cf}/u

/** Columns that a text takes in a terminal or an editor with letters of one width (Unicode annex 11). */
export function displayWidth(text: string): number {
  let width = 0
  for (const character of text) {
    const point = codeOf(character)
    if (point < 0x7f) width++
    else if (!NO_WIDTH.test(character)) width += eastAsianWidth(point)
  }
  return width
}
