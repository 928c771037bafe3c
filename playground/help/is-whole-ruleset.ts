/** An example that stands by itself and can be compiled as it is. */
export function isWhole(text: string): boolean {
  const has = (word: string) => new RegExp(`^\\s*${word}\\b`, "m").test(text)
  return ["ruleset", "complaint", "fault", "test"].every(has) && !has("use")
}
