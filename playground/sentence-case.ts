/** The compiler's titles begin small, as they stand in a sentence; on a button they begin like one. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
