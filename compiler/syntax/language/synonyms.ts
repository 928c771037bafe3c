/** Words that come to mind first, and the language's own for them; each is one only where its own word may stand. */
export const SYNONYMS: Readonly<Record<string, readonly string[]>> = {
  // declarations
  part: ["component", "module", "item"],
  setup: ["seat", "seating", "connection", "connector"],
  complaint: ["symptom", "problem"],
  fault: ["cause", "defect", "failure"],
  told: ["question", "ask", "asked"],
  reading: ["measurement", "measure", "value"],
  test: ["step", "check", "action"],
  when: ["if", "whenever"],
  // clauses
  price: ["cost"],
  swaps: ["replaces", "replace", "changes", "exchanges", "fits", "fit"],
  removes: ["remove", "unplugs", "disconnects", "detaches"],
  // `redo cures` of a setup and `redoes` of a test, each in the other's place.
  redo: ["redoes"],
  redoes: ["redo", "resets", "reset", "reseats", "reseat", "cleans", "adjusts"],
  reads: ["measures", "checks", "meters"],
  caution: ["warning", "danger", "careful"],
  needs: ["tool", "tools", "with", "uses"],
  tries: ["attempts"],
  takes: ["time", "duration"],
  normally: ["usually", "healthy"],
  odds: ["frequency", "weight", "likelihood"],
  // comparisons
  is: ["equals", "equal"],
  below: ["under", "less", "lower", "smaller"],
  above: ["over", "more", "greater", "higher", "exceeds"],
}

const MEANT: ReadonlyMap<string, readonly string[]> = inverted()

function inverted(): Map<string, string[]> {
  const meant = new Map<string, string[]>()
  for (const [word, synonyms] of Object.entries(SYNONYMS))
    for (const synonym of synonyms) meant.set(synonym, [...(meant.get(synonym) ?? []), word])
  return meant
}

/** The one of `words` that this other word for it stands for, or undefined. */
export function meantBy(word: string, words: readonly string[]): string | undefined {
  return MEANT.get(word.toLowerCase())?.find((meant) => words.includes(meant))
}
