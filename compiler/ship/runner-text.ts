import type { Graph } from "../run/graph.ts"
import type { Out } from "../run/index.ts"
import * as m from "../wording/compiled/runner.ts"
import { saidText } from "../wording/ranges.ts"
import { retold } from "../wording/retold.ts"
import type { Words } from "../wording/words.ts"

/** The runner carries no catalogue: what it says at the bench is recognized, and said in the language of the bench. */

const PROBLEMS = [
  m.jobHasEnded,
  m.jobHasNotEnded,
  m.noSuchStep,
  m.noSuchFault,
  m.hasBeenAnswered,
  m.knownGoodIn,
  m.noKnownGoodIn,
  m.isNotAPart,
  m.hasNoFix,
  m.isANumberBetween,
  m.isANumberIn,
  m.isOneOf,
  m.dividesByZero,
  m.oneValueForEach,
  m.answerToLook,
  m.answerToProof,
  m.answerDone,
]

const REASONS = [
  m.proofWouldNotHold,
  m.proofWouldNotFail,
  m.complaintWouldNotGo,
  m.complaintWouldNotStay,
  m.findingsCannotBe,
  m.ruleAtLine,
]

/** What the runner says can't be. */
export function problemText({ message }: Error, words: Words): string {
  return retold(message, PROBLEMS, words)
}

/** Why a fault is ruled out. */
export function reasonText(graph: Graph, { by, text }: Out, words: Words): string {
  if (by !== "reading") return retold(text, REASONS, words)
  const shown = text.replace(/^it never shows /, "").split(" and ")
  const what = shown.map((each) => {
    const [, name, said] = /^`(\w+)` (.+)$/.exec(each) ?? []
    const reading = graph.readings.find((one) => one.name === name)
    return reading === undefined || said === undefined
      ? each
      : `\`${name}\` ${saidText(reading, said, words)}`
  })
  return words.say(m.neverShows, { what: words.listed(what) })
}
