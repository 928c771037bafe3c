import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { Model } from "../../model/model.ts"
import type { FaultIndex, ReadingIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { money, percent } from "../../wording/figures.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import type { Context } from "../context.ts"
import { distributionsDiffer } from "../distributions.ts"
import { faultNames } from "../message-parts.ts"
import { doableTests } from "../proofs/doable-tests.ts"
import { inseparableGroups } from "../proofs/inseparable.ts"
import { remedyOf } from "../remedies.ts"

export const inseparable: Check = {
  code: "inseparable",
  severity: "warning",
  summary: "Faults with different remedies which no sequence of the tests can tell apart.",
  explain: `Whatever is tested, in whatever order, the chances of these faults keep the ratio of their odds: every test treats them
alike, every reading shows the same with each, every rule acts on all or none of them. So the first repair is a guess. A
known-good part to swap, a reading on which they differ, or a test that redoes one of them alone would tell them apart. A
test counts as possible if its clauses can be met one by one; what is reported is proved for all sequences.`,
  example: `part  lamp_driver "lamp driver"  price 30
part  lamp        "signal lamp"  price 12
fault driver_dark "lamp driver failed"  in lamp_driver  odds 2
fault lamp_dark   "signal lamp failed"  in lamp  odds 3`,
  fixed: `part  lamp_driver "lamp driver"  price 30  spare
part  lamp        "signal lamp"  price 12  spare
fault driver_dark "lamp driver failed"  in lamp_driver  odds 2
fault lamp_dark   "signal lamp failed"  in lamp  odds 3
test try_lamp "Fit the known-good lamp"  swaps lamp  takes 3 min
test try_driver "Fit the known-good lamp driver"  swaps lamp_driver  takes 4 min`,
  alongside: ["never-blamed", "no-way-on"],
  *run(context) {
    const { model } = context
    const all = model.faults.reduce((sum, fault) => sum + fault.odds, 0)
    for (const group of inseparableGroups(context)) {
      const chance = group.reduce((sum, fault) => sum + at(model.faults, fault).odds, 0) / all
      const labels = group.map((fault) => {
        const { span, odds, place } = at(model.faults, fault)
        const { kind, price } = at(model.places, place)
        const cost = kind === "part" ? `, ${money(price, model.ruleset.money)}` : ""
        return {
          span,
          text: `${percent(odds / all)} of the jobs: ${remedyOf(model, { fault, cured: false })}${cost}`,
        }
      })
      const message = `No sequence of the tests can tell ${faultNames(model, group)} apart; together they are ${percent(chance)} of the jobs.`
      yield diagnostic("warning", "inseparable", at(model.faults, at(group, 0)).span, message, {
        labels,
        help: wayOut(context, group),
      })
    }
  },
}

/** What would tell them apart, and what it costs, as far as the ruleset says. */
function wayOut(context: Context, group: readonly FaultIndex[]): string {
  const { model } = context
  const ways: string[] = []
  const unread = model.readings.flatMap((_, reading) =>
    !context.once(doableTests).readings[reading] &&
    group.some((fault) => showsElse(model, fault, at(group, 0), reading))
      ? [reading]
      : [],
  )
  for (const reading of unread)
    ways.push(`a test that reads ${backticked(at(model.readings, reading).name)}, on which they differ`)
  const places = [...new Set(group.map((fault) => at(model.faults, fault).place))]
  const cheapest = places
    .map((place) => at(model.places, place))
    .filter(({ kind }) => kind === "part")
    .sort((a, b) => a.price - b.price)[0]
  if (cheapest !== undefined) {
    ways.push(
      `a test that swaps ${backticked(cheapest.name)}${cheapest.spare ? "" : `, once the shop has a known-good one (${money(cheapest.price, model.ruleset.money)})`}`,
    )
  }
  const setup = places.map((place) => at(model.places, place)).find(({ kind }) => kind === "setup")
  if (setup !== undefined) ways.push(`a test that redoes ${backticked(setup.name)} alone`)
  ways.push("a reading that differs between them")
  return `What would tell them apart: ${listed(ways, "or")}.`
}

function showsElse(model: Model, fault: FaultIndex, other: FaultIndex, reading: ReadingIndex): boolean {
  const { healthy } = at(model.readings, reading)
  const of = (each: FaultIndex) => at(model.faults, each).chances[reading] ?? healthy
  return distributionsDiffer(of(fault), of(other))
}
