import * as m from "../../wording/compiled/terminal.ts"
import type { Message } from "../../wording/message.ts"
import type { Words } from "../../wording/words.ts"

/** What can be typed, and what each of it does; the first is missing where a line goes on. */
const HELP: readonly (readonly [what: Message | undefined, means: Message])[] = [
  [m.helpAnswer, m.helpAnswerMeans],
  [m.typeStaysLeftIn, m.helpStaysLeftInMeans],
  [m.helpFind, m.helpFindMeans],
  [undefined, m.helpFindMore],
  [undefined, m.helpFindMost],
  [m.helpCannot, m.helpCannotMeans],
  [m.helpTook, m.helpTookMeans],
  [m.helpUndo, m.helpUndoMeans],
  [m.helpWhy, m.helpWhyMeans],
  [m.typeCandidates, m.helpCandidatesMeans],
  [m.typeStanding, m.helpStandingMeans],
  [m.typeOutlook, m.helpOutlookMeans],
  [m.helpOwnerStopsAt, m.helpOwnerStopsAtMeans],
  [m.typeNotWorth, m.helpNotWorthMeans],
  [m.typeSteps, m.helpStepsMeans],
  [m.typeCameBack, m.helpCameBackMeans],
  [m.helpHelp, m.helpHelpMeans],
]

const WIDTH = 18

/** The answer to `help`. */
export function helpText(words: Words): string[] {
  return HELP.map(([what, means]) => {
    const left = what === undefined ? "" : words.say(what)
    return `  ${left.length < WIDTH ? left.padEnd(WIDTH) : `${left}   `}${words.say(means)}`
  })
}
