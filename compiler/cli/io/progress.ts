/** `34 %, 340,000 cases`; the share only where the length of the file is known. */
export function progressText(cases: number, share: number | undefined): string {
  const counted = `${cases.toLocaleString("en")} cases`
  return share === undefined ? counted : `${Math.floor(share * 100)} %, ${counted}`
}
