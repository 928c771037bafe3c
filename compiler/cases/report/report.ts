import type { NodeIndex, RuleIndex } from "../../run/indexes.ts"
import type { Ends } from "../replay/ends.ts"
import type { Calibration } from "../stats/brier.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"

/**
 * What a replay has to say; plain data. Shares carry Wilson's 95 % interval. Of the cases in which something was
 * confirmed, those that came to an end (closed or handed over) are *decided*.
 */
export interface Report {
  readonly ruleset: { readonly name: string; readonly version: string; readonly source: string }
  readonly money: string
  /** All cases walked, those without a confirmed fault among them. */
  readonly cases: number
  readonly cameBack: number
  /** The owner stopped: going on would have cost too much. */
  readonly notWorthRepairing: number
  /** Nobody confirmed a fault: walked for the use of rules and branches, left out of everything else. */
  readonly unconfirmed: number
  /** What was wrong is not in the ruleset: only handing over is right. */
  readonly unlisted: number
  /** Two faults were confirmed. */
  readonly twoFaults: number
  readonly endings: {
    /** Closed, and nothing wrong is left in the machine; of those decided. */
    readonly fixed: Share
    /** Closed with a fault still in it, so that the machine would come back; of those decided. */
    readonly comesBack: Share
    /** Of those decided. */
    readonly handedOver: Share
    /** What was wrong is not listed; of those handed over. */
    readonly rightly: Share
    /** The graph asked for what the record does not have; of all in which something was confirmed. */
    readonly open: Share
  }
  /** Handed over although a confirmed fault was still thought possible. */
  readonly handedOverSuspected: number
  /** Parts bought in which no confirmed fault lies, over the decided cases. */
  readonly inVain: {
    /** Cases with such a part. */
    readonly cases: Share
    readonly parts: number
    readonly money: number
    /** All parts bought. */
    readonly bought: number
  }
  /** Cases that came to a branch which the graph does not plan: the runner went on from the model. */
  readonly advised: number
  /** Open cases carried on by the chances: how many would end how. */
  readonly openEnds: Ends
  /** How all cases with a confirmed fault end, of 1: those that came to an end, and the open ones by their chances. */
  readonly allEnds: Ends
  /** Outcomes that the record does not have, but that follow surely from what was confirmed. */
  readonly inferred: { readonly cases: number; readonly steps: number }
  /** Minutes of work and money of the same jobs, over cases that end fixed; absent without any. */
  readonly minutes: Paired | undefined
  readonly spent: Paired | undefined
  /** Money with comebacks and handing over, over all decided cases. */
  readonly total: Paired | undefined
  /** Chances that the plan gave itself, over cases with a listed fault. */
  readonly calibration: {
    /** That a fault is where something is bought or fixed. */
    readonly repairs: Calibration | undefined
    /** That a machine which has passed its proof run is whole. */
    readonly closings: Calibration | undefined
  }
  readonly faults: readonly FaultCount[]
  readonly tests: readonly TestCount[]
  readonly repairs: readonly RepairCount[]
  readonly rules: readonly RuleCount[]
  readonly branches: {
    readonly taken: number
    readonly of: number
    /** Branches that no case took, the likeliest first; at most 20. */
    readonly idle: readonly Branch[]
    readonly idleInAll: number
  }
  /** What ruled out what was confirmed; cases that came back first; at most 1,000. */
  readonly mistakes: readonly Mistake[]
  readonly mistakesInAll: number
  /** Cases that did not end right or bought in vain, and all that came back, these first; at most 1,000. */
  readonly noted: readonly NotedCase[]
  readonly notedInAll: number
}

/** How many cases ended how. */
export interface EndingCounts {
  readonly cases: number
  readonly fixed: number
  readonly comesBack: number
  readonly handedOver: number
  readonly open: number
}

/** Cases in which the fault was confirmed, alone or with another. */
export interface FaultCount extends EndingCounts {
  readonly name: string
  readonly label: string
  /** Cases that bought a part in vain. */
  readonly inVain: number
}

export interface TestCount {
  readonly name: string
  readonly used: number
  /** How often a part that it had fitted was put back. */
  readonly putBack: number
}

/** A repair that the graph knows, and how often the walks did it. */
export interface RepairCount {
  readonly do: "keep" | "replace" | "fix"
  /** Of the part, or of the fault. */
  readonly name: string
  readonly used: number
  /** Times that nothing confirmed was there. */
  readonly inVain: number
}

export interface RuleCount {
  readonly rule: RuleIndex
  readonly name?: string
  readonly because?: string
  readonly line: number
  /** Cases on whose walk it acted. */
  readonly used: number
}

export interface Branch {
  readonly node: NodeIndex
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
  /** Names of what was confirmed. */
  readonly fault: string
  readonly cause: "rule" | "shows" | "look" | "never"
  /** How far the rule is trusted, of 1; 1 for all else. */
  readonly chance: number
  /** Of the rule. */
  readonly name?: string
  readonly because?: string
  /** Line of the rule in the ruleset. */
  readonly at?: number
  readonly found: string
  /** The walk through the graph ran into it too. */
  readonly onWalk: boolean
}

export type EndingName = "fixed" | "comesBack" | "handedOver" | "open"

export interface NotedCase {
  readonly id: string
  readonly line: number
  readonly cameBack: boolean
  /** Names of what was confirmed; empty where nothing was. */
  readonly fault: string
  readonly ending: EndingName
  /** It ended as well as it can. */
  readonly isRight: boolean
  readonly says: string
}
