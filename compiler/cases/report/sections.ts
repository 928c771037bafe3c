/**
 * What a replay has to say, as sections of sentences, tables and figures: the text, the page and the playground show the
 * same. Names in sentences and cells stand in backticks.
 */
import { countOf, fixedPercent, money, signed } from "../../wording/figures.ts"
import { listed } from "../../wording/sentence.ts"
import type { Calibration } from "../stats/brier.ts"
import type { Paired } from "../stats/paired-means.ts"
import type { Share } from "../stats/wilson.ts"
import type { EndingName, FaultCount, Mistake, NotedCase, Report, RuleCount } from "./report.ts"

export interface Section {
  readonly title: string
  readonly figure?: Figure
  readonly table?: SectionTable
  /** Sentences below. */
  readonly notes: readonly string[]
}

export interface SectionTable {
  readonly head: readonly string[]
  readonly rows: readonly (readonly string[])[]
  /** Columns of figures, which are set to the right. */
  readonly figures: readonly number[]
  /** Rows of the whole list, where it is longer. */
  readonly of?: number
}

export type Tone = "good" | "bad" | "wait" | "part"

/** Something that is drawn where it can be, and written as a table where not. */
export type Figure =
  | { readonly kind: "shares"; readonly rows: readonly { label: string; share: Share; tone: Tone }[] }
  | { readonly kind: "endings"; readonly rows: readonly FaultCount[] }
  | { readonly kind: "reliability"; readonly calibration: Calibration }

/** How an ending is called. */
export const endingLabel: Readonly<Record<EndingName, string>> = {
  fixed: "fixed and closed",
  comesBack: "closed, comes back",
  handedOver: "handed over",
  open: "open: not in the record",
}

export const endingTone: Readonly<Record<EndingName, Tone>> = {
  fixed: "good",
  comesBack: "bad",
  handedOver: "wait",
  open: "part",
}

/** Tells how all of them end, those that are open in the records carried on: the decided alone are no fair sample. */
export function headline(report: Report): string {
  const { ruleset, cases, endings } = report
  const walked = `${countOf(cases, "case")} walked through ${ruleset.name} ${ruleset.version}`
  return endings.open.of === 0 ? walked : `${walked}: ${carriedOn(report).join(", ")}`
}

/** What has to be known to read the figures right. */
export function remarks(report: Report): string[] {
  const { cameBack, notWorthRepairing, unconfirmed, unlisted, twoFaults, inferred, advised } = report
  const of = (count: number, text: string) => (count > 0 ? [`${countOf(count, "case")} ${text}.`] : [])
  return [
    ...of(cameBack, "came back"),
    ...of(notWorthRepairing, "ended because it wasn't worth repairing: the owner stopped"),
    ...of(twoFaults, "with two faults"),
    ...of(unlisted, "with a fault that the ruleset does not list: only handing over is right"),
    ...of(unconfirmed, "without a confirmed fault: counted for rules and branches only"),
    ...(inferred.steps > 0
      ? [
          `${countOf(inferred.steps, "outcome")} in ${countOf(inferred.cases, "case")} inferred: not in the record, but certain with what was confirmed.`,
        ]
      : []),
    ...of(advised, "went on from the model, where the graph does not plan"),
  ]
}

export function reportSections(report: Report): Section[] {
  return [
    endings(report),
    inVain(report),
    spending(report),
    calibration("Was something wrong where it was repaired?", report.calibration.repairs),
    calibration("Was the machine whole when the job was closed?", report.calibration.closings),
    noted(report),
    mistakes(report),
    byFault(report),
    repairs(report),
    coverage(report),
    idleBranches(report),
    rulesUsed(report),
  ].filter((section) => section !== undefined)
}

function endings(report: Report): Section | undefined {
  const { fixed, comesBack, handedOver, rightly, open } = report.endings
  if (open.of === 0) return undefined
  const row = (ending: EndingName, share: Share) => ({
    label: endingLabel[ending],
    share,
    tone: endingTone[ending],
  })
  const { handedOverSuspected } = report
  return {
    title: "How the jobs end",
    figure: {
      kind: "shares",
      rows: [
        row("fixed", fixed),
        row("comesBack", comesBack),
        row("handedOver", handedOver),
        row("open", open),
      ],
    },
    notes: [
      "Shares of the cases that came to an end, of open ones of all; 95 % intervals (Wilson).",
      ...(handedOver.count > 0
        ? [`Of those handed over, ${rightly.count} rightly: what was wrong is not listed.`]
        : []),
      ...(handedOverSuspected > 0
        ? [`${countOf(handedOverSuspected, "case")} handed over with the fault still among the candidates.`]
        : []),
      ...(open.count > 0
        ? [
            `With the open cases carried on by the chances, of all ${open.of}: ${carriedOn(report).join(", ")}.`,
          ]
        : []),
    ],
  }
}

function carriedOn({ allEnds: { fixed, comesBack, handedOver, notFollowed } }: Report): string[] {
  return [
    `${fixedPercent(fixed)} fixed`,
    `${fixedPercent(comesBack)} come back`,
    `${fixedPercent(handedOver)} handed over`,
    ...(notFollowed >= 0.0005 ? [`${fixedPercent(notFollowed)} not followed`] : []),
  ]
}

function inVain({
  inVain: { cases, parts, money: spent, bought },
  money: currency,
}: Report): Section | undefined {
  if (cases.of === 0 || bought === 0) return undefined
  return {
    title: "Parts bought in vain",
    notes: [
      parts === 0
        ? bought === 1
          ? "The one part bought had a confirmed fault in it."
          : `All ${countOf(bought, "part")} bought had a confirmed fault in them.`
        : `${parts} of ${countOf(bought, "part")} bought had no confirmed fault in them: ${money(spent, currency)}, in ${cases.count} of ${countOf(cases.of, "case")} (${fixedPercent(cases.low)} to ${fixedPercent(cases.high)}).`,
    ],
  }
}

function spending({ minutes, spent, total, money: currency }: Report): Section | undefined {
  if (!total) return undefined
  const row = (label: string, paired: Paired | undefined) => (paired ? [[label, ...pairedCells(paired)]] : [])
  return {
    title: "Minutes and money per job",
    table: {
      head: ["", "record", "graph", "difference", "95 % interval", "cases"],
      rows: [
        ...row("minutes of work, fixed jobs", minutes),
        ...row(`${currency} spent, fixed jobs`, spent),
        ...row(`${currency} with comebacks and handing over`, total),
      ],
      figures: [1, 2, 3, 5],
    },
    notes: [
      `Intervals of the mean difference: ${methodText(total)}.`,
      "A record that does not tell the repair or the proof run is charged with the cheapest repair of what was confirmed, and with the proof run.",
    ],
  }
}

export function methodText({ method }: Paired): string {
  return method === "bootstrap" ? "bootstrap, 2,000 resamples, fixed seed" : "normal"
}

/** Record, graph, difference, its interval, cases. */
export function pairedCells({ cases, walked, recorded, difference, low, high }: Paired): string[] {
  const interval = cases < 2 ? "" : `${signed(low)} to ${signed(high)}`
  return [recorded.toFixed(1), walked.toFixed(1), signed(difference), interval, `${cases}`]
}

function calibration(title: string, calibration: Calibration | undefined): Section | undefined {
  if (!calibration) return undefined
  return {
    title,
    figure: { kind: "reliability", calibration },
    notes: [
      `Chances that the plan gave, and how often they came true. Brier score ${calibration.score.toFixed(4)} (0 is perfect, 2 worst).`,
    ],
  }
}

/** Lists hold no more rows than a reader takes in; the JSON has more. */
const MOST_ROWS = 200

function noted({ noted, notedInAll }: Report): Section | undefined {
  if (notedInAll === 0) return undefined
  const row = ({ id, line, cameBack, fault, ending, says }: NotedCase) => [
    id,
    `line ${line}`,
    cameBack ? "came back" : "",
    endingLabel[ending],
    fault && `was \`${fault}\``,
    says,
  ]
  return {
    title: "Cases to look at",
    table: {
      head: ["case", "", "", "on the graph", "", "the graph"],
      rows: noted.slice(0, MOST_ROWS).map(row),
      figures: [],
      of: notedInAll,
    },
    notes: [],
  }
}

function mistakes({ mistakes, mistakesInAll, ruleset }: Report): Section | undefined {
  if (mistakesInAll === 0) return undefined
  const row = (each: Mistake) => [
    each.id,
    `line ${each.line}`,
    each.cameBack ? "came back" : "",
    each.onWalk ? "on the walk" : "in the record",
    `was \`${each.fault}\``,
    each.found,
    causeText(each),
  ]
  return {
    title: "What ruled out the confirmed fault",
    table: {
      head: ["case", "", "", "", "", "found", "against"],
      rows: mistakes.slice(0, MOST_ROWS).map(row),
      figures: [],
      of: mistakesInAll,
    },
    notes: [`Each is a mistake of ${ruleset.name}, or of the bench.`],
  }
}

/** What stands against a finding. */
export function causeText({
  cause,
  chance,
  name,
  because,
  at,
}: Pick<Mistake, "cause" | "chance" | "name" | "because" | "at">): string {
  if (cause === "rule") {
    const trusted = chance < 1 ? `, trusted ${fixedPercent(chance, 0)}` : ""
    return `rule ${name ? `\`${name}\` ` : ""}at line ${at}${trusted}${because ? `: “${because}”` : ""}`
  }
  if (cause === "shows") return "never shown by this fault"
  return cause === "look" ? "impossible with this fault" : "said never to occur together"
}

function byFault({ faults }: Report): Section | undefined {
  const seen = faults.filter(({ cases }) => cases > 0).sort((a, b) => b.cases - a.cases)
  if (seen.length === 0) return undefined
  const unseen = faults.length - seen.length
  return {
    title: "By confirmed fault",
    figure: { kind: "endings", rows: seen },
    notes: unseen > 0 ? [`${countOf(unseen, "fault")} of ${faults.length} never confirmed in a case.`] : [],
  }
}

function repairs({ repairs }: Report): Section | undefined {
  const used = repairs.filter(({ used }) => used > 0).sort((a, b) => b.used - a.used)
  if (used.length === 0) return undefined
  return {
    title: "Repairs",
    table: {
      head: ["repair", "times", "in vain"],
      rows: used.map(({ do: kind, name, used, inVain }) => [`${kind} \`${name}\``, `${used}`, `${inVain}`]),
      figures: [1, 2],
    },
    notes: [],
  }
}

function coverage({ rules, tests, branches }: Report): Section {
  const idle = rules.filter(({ used }) => used === 0)
  const undone = tests.filter(({ used }) => used === 0)
  const list = (all: readonly string[]) => (all.length > 0 ? `: ${all.join(", ")}` : "")
  return {
    title: "Never exercised",
    notes: [
      `${idle.length} of ${countOf(rules.length, "rule")}${list(idle.map(ruleText))}.`,
      `${undone.length} of ${countOf(tests.length, "test")}${list(undone.map(({ name }) => `\`${name}\``))}.`,
      `${branches.idleInAll} of ${countOf(branches.of, "branch", "branches")}.`,
    ],
  }
}

function ruleText({ name, line }: RuleCount): string {
  return name ? `\`${name}\` (line ${line})` : `line ${line}`
}

function idleBranches({ branches }: Report): Section | undefined {
  if (branches.idle.length === 0) return undefined
  return {
    title: "The likeliest branches that no case took",
    table: {
      head: ["chance", "step", "found"],
      rows: branches.idle.slice(0, 10).map(({ chance, step, found }) => [fixedPercent(chance), step, found]),
      figures: [0],
    },
    notes: [],
  }
}

function rulesUsed({ rules }: Report): Section | undefined {
  const used = rules.filter(({ used }) => used > 0).sort((a, b) => b.used - a.used)
  if (used.length === 0) return undefined
  return {
    title: "Rules used",
    table: {
      head: ["rule", "cases", "because"],
      rows: used.map((rule) => [ruleText(rule), `${rule.used}`, rule.because ?? ""]),
      figures: [1],
    },
    notes: [],
  }
}

/** The figure in words, for those who do not see it. */
export function figureText(figure: Figure): string {
  if (figure.kind === "shares")
    return figure.rows.map(({ label, share }) => `${label} ${share.count} of ${share.of}`).join(", ")
  if (figure.kind === "reliability")
    return figure.calibration.bins
      .map(({ said, held }) => `said ${fixedPercent(said)}, held ${held.count} of ${held.of}`)
      .join("; ")
  const endings = ["fixed", "comesBack", "handedOver", "open"] as const
  return figure.rows
    .map((row) => `${row.name}: ${listed(endings.map((ending) => `${row[ending]} ${endingLabel[ending]}`))}`)
    .join("; ")
}

/** The figure as a table. */
export function figureTable(figure: Figure): SectionTable {
  if (figure.kind === "shares")
    return {
      head: ["", "", "share", "95 % interval"],
      rows: figure.rows.map(({ label, share }) => [label, ...shareCells(share)]),
      figures: [2],
    }
  if (figure.kind === "reliability")
    return {
      head: ["chance", "said", "came true", "", "95 % interval"],
      rows: figure.calibration.bins.map(({ from, to, said, held }) => [
        `${fixedPercent(from, 0)} to ${fixedPercent(to, 0)}`,
        fixedPercent(said),
        ...shareCells(held),
      ]),
      figures: [1, 3],
    }
  return {
    head: ["fault", "cases", "fixed", "comes back", "handed over", "open", "in vain"],
    rows: figure.rows.map(({ name, cases, fixed, comesBack, handedOver, open, inVain }) =>
      [`\`${name}\``, cases, fixed, comesBack, handedOver, open, inVain].map(String),
    ),
    figures: [1, 2, 3, 4, 5, 6],
  }
}

/** Count, share, interval. */
export function shareCells({ count, of, share, low, high }: Share): [string, string, string] {
  return [
    `${count} of ${of}`,
    of > 0 ? fixedPercent(share) : "",
    of > 0 ? `${fixedPercent(low)} to ${fixedPercent(high)}` : "",
  ]
}
