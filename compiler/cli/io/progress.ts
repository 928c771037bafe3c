import { countOf } from "../../wording/figures.ts"

/** `34 %, 340,000 cases`; the share only if the length of the file is known. */
export function progressText(cases: number, share: number | undefined): string {
  const counted = countOf(cases, "case")
  return share === undefined ? counted : `${Math.floor(share * 100)} %, ${counted}`
}
