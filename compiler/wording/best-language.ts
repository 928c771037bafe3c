/**
 * Of some languages the one that suits best, by tags in the order of preference (the lookup of RFC 4647: `de-AT` is served
 * with `de`); undefined where none does.
 */
export function bestLanguage(available: readonly string[], wanted: readonly string[]): string | undefined {
  for (const tag of wanted)
    for (
      let range = tag.toLowerCase();
      range !== "";
      range = range.slice(0, Math.max(0, range.lastIndexOf("-")))
    ) {
      const found = available.find((each) => each.toLowerCase() === range)
      if (found !== undefined) return found
    }
  return undefined
}
