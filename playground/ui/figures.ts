import { Words } from "../../compiler/wording/words.ts"
import { unbroken } from "./unbroken.ts"

/** Figures as the page shows them: worded as everywhere, with spaces that don't break. */
export const { percent, money, minutes, duration } = unbroken(new Words("en"))
