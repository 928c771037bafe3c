/** Clauses that more than one declaration has. */

export const takes = {
  words: "takes",
  argument: "minutes",
  example: "takes 4 min",
  says: "how long it takes",
  implied: "minutes",
} as const

export const tries = {
  words: "tries",
  argument: "number",
  example: "tries 3",
  says: "how many tries the look for the complaint has",
} as const

export const picture = {
  words: "picture",
  argument: "picture",
  example: 'picture "images/probe.svg" "the probe on pin 3, the clip on the frame"',
  says: "a picture beside this file, and what it shows, in words",
  repeats: true,
  place: "own",
} as const

export const behind = {
  words: "behind",
  argument: "names",
  names: ["setup"],
  example: "behind rear_cover",
  says: "what has to be undone before this is reached",
} as const

/** What must be done or known before something; `words` stand before its clauses, `what` says what waits. */
export function gate(words: string, what: string) {
  return {
    after: {
      words: `${words}after`,
      argument: "names",
      names: ["test"],
      example: `${words}after meter_rail`,
      says: `tests that must all be done before${what}`,
      place: "own",
    },
    afterAny: {
      words: `${words}after any of`,
      argument: "names",
      names: ["test"],
      example: `${words}after any of meter_rail, look_glow`,
      says: `tests of which one must be done before${what}`,
      place: "own",
    },
    onlyIf: {
      words: `${words}only if`,
      argument: "condition",
      example: `${words}only if glow is no`,
      says: `what must be known before${what}`,
      place: "own",
    },
  } as const
}
