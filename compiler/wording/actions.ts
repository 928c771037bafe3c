import { listed } from "./sentence.ts"

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

/** The verb of each action, for badges and legends. */
export const actionVerb: Readonly<Record<ActionKind, string>> = {
  reads: "Measure",
  told: "Ask",
  swaps: "Swap",
  redoes: "Redo",
  removes: "Run without",
  takeOut: "Take out",
  putBack: "Put back",
  keep: "Keep",
  replace: "Replace",
  fix: "Fix",
  look: "Look again",
  close: "Close",
  handover: "Hand over",
  advise: "Not planned",
}

/** What to do, as a heading: `Replace: cooling fan`. `what`: labels of the places, the instruction of a test, or the remedy. */
export function actionTitle(kind: ActionKind, what: readonly string[] = []): string {
  const named = listed(what)
  switch (kind) {
    case "takeOut":
      return `Take out the shop's part, refit the old one: ${named}`
    case "putBack":
      return `Put the old part back: ${named}`
    case "keep":
      return `Keep the shop's part in: ${named}`
    case "replace":
      return `Replace: ${named}`
    case "redoes":
      return `Redo: ${named}`
    case "fix":
      return `Fix: ${named}`
    case "look":
      return "Look for the complaint again"
    case "close":
      return "Close the job"
    case "handover":
      return "Hand over"
    case "advise":
      return "Not planned ahead: ask the runner"
    default:
      return named
  }
}

/** What came of an action that is looked at: of the complaint, or of the proof run. */
export type Outcome = "gone" | "stays" | "holds" | "fails" | "done"

export const outcomeText: Readonly<Record<Outcome, string>> = {
  gone: "complaint gone",
  stays: "complaint stays",
  holds: "proof run passed",
  fails: "proof run failed",
  done: "done",
}
