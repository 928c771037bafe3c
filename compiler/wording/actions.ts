import * as m from "./compiled/common.ts"
import type { Message } from "./message.ts"
import { english, type Words } from "./words.ts"

/** All that can be done at the bench; the first five are tests, which have an instruction of their own. */
export type ActionKind =
  | "reads"
  | "told"
  | "swaps"
  | "redoes"
  | "removes"
  | "takeOut"
  | "putBack"
  | "keep"
  | "replace"
  | "fix"
  | "look"
  | "close"
  | "handover"
  | "advise"

const VERBS: Readonly<Record<ActionKind, Message>> = {
  reads: m.verbMeasure,
  told: m.verbAsk,
  swaps: m.verbSwap,
  redoes: m.verbRedo,
  removes: m.verbRunWithout,
  takeOut: m.verbTakeOut,
  putBack: m.verbPutBack,
  keep: m.verbKeep,
  replace: m.verbReplace,
  fix: m.verbFix,
  look: m.verbLook,
  close: m.verbClose,
  handover: m.verbHandOver,
  advise: m.verbNotPlanned,
}

/** The verb of an action, for badges and legends. */
export function actionVerb(kind: ActionKind, words: Words = english): string {
  return words.say(VERBS[kind])
}

const ACTIONS_ON: Partial<Record<ActionKind, Message<{ readonly what: string }>>> = {
  takeOut: m.takeOutPart,
  putBack: m.putBackPart,
  keep: m.keepPart,
  replace: m.replacePart,
  redoes: m.redoSetup,
  fix: m.fixFault,
}

const ACTIONS: Partial<Record<ActionKind, Message>> = {
  look: m.lookAgain,
  close: m.closeJob,
  handover: m.handOver,
  advise: m.notPlannedAhead,
}

/** What to do, as a heading: `Replace: cooling fan`. `what`: labels of the places, the instruction of a test, or the remedy. */
export function actionTitle(kind: ActionKind, what: readonly string[], words: Words): string {
  const [on, alone] = [ACTIONS_ON[kind], ACTIONS[kind]]
  if (alone) return words.say(alone)
  return on ? words.say(on, { what: words.listed(what) }) : words.listed(what)
}

/** What came of an action that is looked at: of the complaint, or of the proof run. */
export type Outcome = "gone" | "stays" | "holds" | "fails" | "done"

const OUTCOMES: Readonly<Record<Outcome, Message>> = {
  gone: m.complaintGone,
  stays: m.complaintStays,
  holds: m.proofRunPassed,
  fails: m.proofRunFailed,
  done: m.done,
}

export function outcomeText(outcome: Outcome, words: Words): string {
  return words.say(OUTCOMES[outcome])
}
