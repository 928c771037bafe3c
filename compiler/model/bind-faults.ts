import type { FaultIndex, PlaceIndex, ReadingIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { leastForm } from "../syntax/language/forms.ts"
import type { FaultDecl, NameWithChance, ShowsClause } from "../syntax/syntax-tree.ts"
import { allRead } from "./all-read.ts"
import { valuesOf } from "./bind-conditions.ts"
import { bindRepairGate } from "./bind-gates.ts"
import { percentage, positive, work } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import { type CutDomain, cellsIn } from "./cells.ts"
import { checkShares, type WrittenShare } from "./check-distribution.ts"
import { distribution } from "./distribution.ts"
import { toNumber, whole } from "./fraction.ts"
import type { Fault, Reading } from "./model.ts"
import type { Scope } from "./scope.ts"

const FORM = leastForm("fault")

/** A fault, once the cells of the readings are known. */
export type FaultDraft = (
  readings: Table<ReadingIndex, Reading>,
  cuts: Table<ReadingIndex, CutDomain>,
) => Fault

type ReadingShare = WrittenShare & { readonly reading: ReadingIndex }

export function bindFault(
  index: FaultIndex,
  place: PlaceIndex | undefined,
  scope: Scope,
): FaultDraft | undefined {
  const { report } = scope
  const decl = at(scope.faults, index)
  const name = required(decl, decl.name, "its name", FORM, report)
  const label = required(decl, decl.label, "its label", FORM, report)
  const {
    place: _,
    odds: relative,
    remedy,
    fixTakes,
    fixCosts,
    fixWaits,
    fixAfter: after,
    fixAfterAny: afterAny,
    fixOnlyIf: onlyIf,
    eased,
    shows,
    pictures,
    ...head
  } = decl
  allRead(head)
  const odds = positive(required(decl, relative, "its odds", FORM, report), "odds", report)
  const fix = work({ takes: fixTakes, costs: fixCosts, waits: fixWaits }, "fix", report)
  const gate = bindRepairGate({ after, afterAny, onlyIf }, scope, "fix ")
  const easing = bindEased(eased, place, scope)
  const pictured = scope.pictures.of(pictures)
  const { shares, recurs } = bindShows(decl, shows, scope)
  if (name === undefined || label === undefined || odds === undefined || place === undefined) return undefined
  return (readings, cuts) => ({
    name: name.text,
    label: label.value,
    place,
    odds,
    recurs,
    chances: chancesOf(shares, readings, cuts),
    shows: shares.map(({ reading, intervals, chance, span }) => ({
      reading,
      cells: cellsIn(at(cuts, reading), intervals),
      chance: toNumber(chance),
      span,
    })),
    ...(remedy === undefined ? {} : { remedy: remedy.value }),
    ...(fix === undefined ? {} : { fix }),
    ...(gate === undefined ? {} : { gate: gate(cuts) }),
    eased: easing,
    ...pictured,
    span: decl.span,
  })
}

/** The place of each fault; undefined if it is missing or wrong, with the reason reported. */
export function placesOfFaults(scope: Scope): Table<FaultIndex, PlaceIndex | undefined> {
  return scope.faults.map((decl) => {
    const place = required(decl, decl.place, "its place", FORM, scope.report)
    return place && scope.names.resolve(place, ["part", "setup"], "`in`")?.index
  })
}

function bindShows(
  decl: FaultDecl,
  clauses: FaultDecl["shows"],
  scope: Scope,
): { shares: ReadingShare[]; recurs: number } {
  const { report, names } = scope
  const shares: ReadingShare[] = []
  let often: ShowsClause | undefined
  let recurs = 1
  for (const clause of clauses) {
    const entry = names.resolve(clause.what, ["reading", "told", "complaint"], "`shows`")
    if (entry?.kind === "complaint") {
      if (often !== undefined) doubledComplaint(clause, often, scope)
      often = clause
      recurs = recurrence(decl, clause, scope) ?? recurs
    } else if (entry !== undefined) {
      const share = bindShare(decl, clause, entry.index, scope)
      if (share !== undefined) shares.push({ ...share, reading: entry.index })
    } else {
      percentage(clause.chance, "shows", report)
    }
  }
  for (const [reading, own] of byReading(shares)) checkShares(own, reading, scope)
  return { shares, recurs }
}

function bindShare(
  decl: FaultDecl,
  clause: ShowsClause,
  reading: ReadingIndex,
  scope: Scope,
): WrittenShare | undefined {
  const chance = clause.chance === undefined ? whole(1) : percentage(clause.chance, "shows", scope.report)
  const form = `shows ${clause.what.text} CONDITION N%`
  const condition = required(
    decl,
    clause.condition,
    `a condition on \`${clause.what.text}\``,
    form,
    scope.report,
  )
  const intervals = condition && valuesOf(condition, reading, scope)
  if (chance === undefined || condition === undefined || intervals === undefined) return undefined
  return { clause: "shows", intervals, chance, span: clause.span, condition: condition.span }
}

function bindEased(
  clauses: FaultDecl["eased"],
  place: PlaceIndex | undefined,
  { names, report }: Scope,
): Fault["eased"] {
  const met = new Map<number, NameWithChance>()
  return clauses.flatMap((clause) => {
    const entry = names.resolve(clause.name, ["setup"], "`eased by`")
    const chance = clause.chance === undefined ? whole(1) : percentage(clause.chance, "eased by", report)
    if (entry === undefined) return []
    const { text, span } = clause.name
    const first = met.get(entry.index)
    if (first !== undefined) {
      report.say("doubled-clause", clause.span, `\`eased by ${text}\` is given twice.`, {
        labels: [{ span: first.span, text: "first here" }],
        help: "Keep one of the two.",
      })
    } else if (entry.index === place) {
      const message = `The fault is in \`${text}\` itself: redoing \`${text}\` cures it anyway.`
      report.say("eased-by-own", span, message, {
        help: `The \`redo cures\` of \`${text}\`, or of the test, says how often. Remove this \`eased by\`, or name another setup.`,
      })
    }
    met.set(entry.index, first ?? clause)
    return chance === undefined ? [] : [{ setup: entry.index, chance: toNumber(chance) }]
  })
}

/** `shows COMPLAINT N%`: the chance that one try brings the complaint back while the fault is there. */
function recurrence(decl: FaultDecl, clause: ShowsClause, scope: Scope): number | undefined {
  const { report } = scope
  const { what, condition } = clause
  if (condition !== undefined) {
    return report.say(
      "type-mismatch",
      condition.span,
      `\`${what.text}\` is the complaint: it is there or not.`,
      {
        help: `Write how often it is seen: \`shows ${what.text} 70%\`.`,
      },
    )
  }
  if (clause.chance === undefined) {
    if (!decl.whole) return report.giveUp()
    return report.say("missing-clause", clause.span, `\`shows ${what.text}\` has no percentage.`, {
      help: `Write how often it is seen, like \`shows ${what.text} 70%\`; without the clause it is always seen.`,
    })
  }
  const chance = percentage(clause.chance, "shows", report)
  if (chance === undefined) return undefined
  if (chance.top > 0n) return toNumber(chance)
  return report.say(
    "out-of-range",
    clause.chance.span,
    `A fault that never shows \`${what.text}\` can't be its cause.`,
    {
      help: "Give how often the complaint is seen with this fault, or leave the fault out.",
    },
  )
}

function doubledComplaint(clause: ShowsClause, first: ShowsClause, { report }: Scope): void {
  report.say("doubled-clause", clause.span, `\`shows ${clause.what.text}\` is given twice.`, {
    labels: [{ span: first.span, text: "first here" }],
    help: "Keep one of the two percentages.",
  })
}

/** A fault's shares, reading by reading. */
function byReading(shares: readonly ReadingShare[]): Map<ReadingIndex, ReadingShare[]> {
  const groups = new Map<ReadingIndex, ReadingShare[]>()
  for (const share of shares) {
    const group = groups.get(share.reading)
    if (group === undefined) groups.set(share.reading, [share])
    else group.push(share)
  }
  return groups
}

function chancesOf(
  shares: readonly ReadingShare[],
  readings: Table<ReadingIndex, Reading>,
  cuts: Table<ReadingIndex, CutDomain>,
): Fault["chances"] {
  const groups = byReading(shares)
  return readings.map((_, reading) => {
    const group = groups.get(reading)
    return group && distribution(group, at(cuts, reading))
  })
}
