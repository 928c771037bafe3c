import type { Ends } from "../replay/continue-open.ts"
import type { Calibration } from "../stats/brier.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"

/**
 * What a replay has to say; plain data. Shares carry Wilson's 95 % interval. Of the cases with a confirmed fault, those
 * that came to an end (a verdict or handing over) are *decided*: `remedy`, `right`, `wrong`, `handover` and
 * `inCandidates` are out of them, `open` is out of all.
 */
export interface Report {
  readonly ruleset: { readonly name: string; readonly version: string; readonly source: string }
  readonly money: string
  /** All cases walked, those without a confirmed fault among them. */
  readonly cases: number
  readonly cameBack: number
  /** Nobody confirmed a fault: walked for the use of rules and branches, left out of everything else. */
  readonly unconfirmed: number
  /** The confirmed fault is not in the ruleset: only handing over is no mistake. */
  readonly unlisted: number
  readonly verdicts: {
    /** The verdict's remedy mends the confirmed fault. */
    readonly remedy: Share
    /** And its likeliest fault is the confirmed one. */
    readonly right: Share
    /** The confirmed fault is among the candidates, whatever was decided. */
    readonly inCandidates: Share
    /** The verdict's remedy does not mend the confirmed fault. */
    readonly wrong: Share
    readonly handover: Share
    /** The graph asked for what the record does not have . */
    readonly open: Share
  }
  readonly wrongButCandidate: number
  readonly handoverWithCandidate: number
  /** Cases that came to a branch which the graph does not plan: the runner went on from the model. */
  readonly advised: number
  /** Open cases carried on by the chances: how many would end how. */
  readonly openEnds: Ends
  /** Swaps and redoings that the record does not have, but that follow surely from the confirmed fault. */
  readonly inferred: { readonly cases: number; readonly steps: number }
  /** Minutes and bench money of the same jobs, over cases with a verdict; absent without any. */
  readonly minutes: Paired | undefined
  readonly work: Paired | undefined
  /** Money with what mistakes cost (comebacks, parts replaced in vain, handing over), over all decided cases. */
  readonly total: Paired | undefined
  readonly calibration: Calibration | undefined
  readonly faults: readonly FaultCount[]
  readonly tests: readonly TestCount[]
  readonly rules: readonly RuleCount[]
  readonly branches: {
    readonly taken: number
    readonly of: number
    /** Branches that no case took, the likeliest first; at most 20. */
    readonly idle: readonly Branch[]
    readonly idleInAll: number
  }
  /** What ruled out the confirmed fault; came-back cases first; at most 1,000. */
  readonly mistakes: readonly Mistake[]
  readonly mistakesInAll: number
  /** Cases that did not end right, and all that came back, these first; at most 1,000. */
  readonly noted: readonly Noted[]
  readonly notedInAll: number
}

export interface FaultCount {
  readonly name: string
  readonly label: string
  /** Cases in which it was confirmed. */
  readonly cases: number
  readonly remedy: number
  readonly named: number
  readonly wrong: number
  readonly handover: number
  readonly open: number
}

export interface TestCount {
  readonly name: string
  readonly used: number
  readonly putBack: number
}

export interface RuleCount {
  readonly rule: number
  readonly name?: string
  readonly because?: string
  readonly line: number
  /** Cases on whose walk it ruled something out. */
  readonly used: number
}

export interface Branch {
  readonly node: number
  readonly step: string
  readonly found: string
  /** Chance that a job comes this way, as the graph expects. */
  readonly chance: number
}

export interface Mistake {
  readonly id: string
  /** Line in the file of cases. */
  readonly line: number
  readonly cameBack: boolean
  readonly fault: string
  readonly cause: "rule" | "shows" | "look" | "never"
  /** Name of the rule, or of the reading of the `shows`. */
  readonly name?: string
  readonly because?: string
  /** Line of the rule in the ruleset. */
  readonly at?: number
  readonly found: string
  /** The walk through the graph ran into it too. */
  readonly onWalk: boolean
}

export interface Noted {
  readonly id: string
  readonly line: number
  readonly cameBack: boolean
  readonly fault: string
  readonly ending: "right" | "wrong" | "handover" | "open"
  readonly says: string
}
