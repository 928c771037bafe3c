import { ruledOutAlone } from "../check/eliminations.ts"
import { ruleName } from "../check/message-parts.ts"
import type { Span } from "../diagnostics/diagnostic.ts"
import type { Fault, Model, Place, Rule, Test, Work } from "../model/model.ts"
import { fixWork, replaceWork, workCost } from "../model/repairs.ts"
import type { FaultIndex, PlaceIndex, ReadingIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { DECLARATIONS } from "../syntax/language/statements.ts"
import { duration, minutes, money, percent } from "../wording/figures.ts"
import { comparison } from "../wording/ranges.ts"
import { backticked, capitalized, counted, listed } from "../wording/sentence.ts"
import { type Presence, posterior, prior } from "./posterior.ts"

/** What is known about the thing under the pointer: a heading and lines of text, names in backticks. */
export interface Hover {
  readonly span: Span
  readonly title: string
  readonly lines: readonly string[]
}

/** By name; undefined if the model does not know it. */
export function hoverName(model: Model, name: string): Omit<Hover, "span"> | undefined {
  const place = model.places.findIndex((each) => each.name === name)
  if (place !== -1) return aboutPlace(model, place)
  const fault = model.faults.findIndex((each) => each.name === name)
  if (fault !== -1) return aboutFault(model, fault)
  const reading = model.readings.findIndex((each) => each.name === name)
  if (reading !== -1) return aboutReading(model, reading)
  const test = model.tests.find((each) => each.name === name)
  if (test) return aboutTest(model, test)
  const rule = model.rules.find((each) => each.name === name)
  if (rule) return aboutRule(model, rule)
  if (model.complaint.name === name)
    return {
      title: model.complaint.text,
      lines: ["The complaint. It is looked for again after every change."],
    }
  return undefined
}

function aboutPlace(model: Model, index: PlaceIndex): Omit<Hover, "span"> {
  const place = at(model.places, index)
  const chances = prior(model)
  const faults = model.faults.flatMap((fault, i) => (fault.place === index ? [i] : []))
  const share = faults.reduce((sum, i) => sum + at(chances.faults, i), 0)
  const lines: string[] = []
  if (place.kind === "part") {
    lines.push(
      `Part, ${money(place.price, model.ruleset.money)}; the shop has ${place.spare ? "a" : "no"} known-good one.`,
      `Fitting a bought one takes ${workText(model, replaceWork(model, index))}.`,
    )
  } else lines.push(`Setup; redoing it cures a fault in it ${percent(place.cures)} of the time.`)
  if (place.of !== undefined) lines.push(`Swapping ${named(at(model.places, place.of))} redoes it.`)
  if (place.behind.length > 0)
    lines.push(
      `Behind ${listed(place.behind.map((i) => named(at(model.places, i))))}, which must be undone first.`,
    )
  const inside = model.places.filter((each) => each.of === index)
  if (inside.length > 0) lines.push(`Swapping it redoes ${listed(inside.map(named))}.`)
  lines.push(
    faults.length === 0
      ? "No fault is listed in it."
      : `${percent(Math.min(1, share))} of jobs have a fault here: ${listed(faults.map((i) => `\`${at(model.faults, i).name}\` ${percent(at(chances.faults, i))}`))}.`,
  )
  return { title: place.label, lines }
}

function aboutFault(model: Model, index: FaultIndex): Omit<Hover, "span"> {
  const fault = at(model.faults, index)
  const lines = [
    `Fault in ${named(at(model.places, fault.place))}, ${percent(at(prior(model).faults, index))} of jobs before any finding (odds ${fault.odds}).`,
  ]
  for (const { reading, cells, chance } of fault.shows)
    lines.push(
      `Shows \`${at(model.readings, reading).name}\` ${comparison(at(model.readings, reading), cells)}, ${percent(chance)}.`,
    )
  if (fault.recurs < 1)
    lines.push(`Comes and goes: it shows the complaint in ${percent(fault.recurs)} of the tries.`)
  if (fault.shows.length === 0) lines.push("It has no `shows`: every reading is as on a healthy machine.")
  for (const { setup, chance } of fault.eased)
    lines.push(`Redoing ${named(at(model.places, setup))} cures it too, ${percent(chance)} of the time.`)
  const out = model.rules.filter((rule) => ruledOutAlone(model, rule).includes(index))
  if (out.length > 0)
    lines.push(`Ruled out by ${counted(out.length, "rule")}: ${listed(out.slice(0, 6).map(ruleName))}.`)
  if (fault.remedy) lines.push(`Remedy: ${fault.remedy}`)
  const fix = fixWork(model, index)
  if (fix !== undefined) lines.push(`Fixing it takes ${workText(model, fix)}.`)
  return { title: fault.label, lines }
}

function aboutReading(model: Model, index: ReadingIndex): Omit<Hover, "span"> {
  const reading = at(model.readings, index)
  const lines: string[] = []
  if (reading.grid) {
    const { unit, from, to, by } = reading.grid
    lines.push(
      `${reading.told ? "Told by the owner" : "Read off the machine"}, in ${unit} from ${from} to ${to} by ${by}.`,
    )
  } else lines.push(`${reading.told ? "Told by the owner" : "Read off the machine"}.`)
  lines.push(
    `${reading.told ? "If no fault says otherwise" : "On a healthy machine"}: ${listed(reading.cells.map((cell, i) => `${cell.label} ${percent(at(reading.healthy, i))}`))}.`,
  )
  const tests = model.tests.filter((test) => test.kind !== "told" && test.reads.includes(index))
  if (tests.length > 0) lines.push(`Read by ${listed(tests.map((test) => `\`${test.name}\``))}.`)
  else if (!reading.told) lines.push("No test reads it.")
  const shown = model.faults.filter((fault) => fault.shows.some((clause) => clause.reading === index))
  if (shown.length > 0)
    lines.push(`Different with ${listed(shown.slice(0, 8).map((fault) => `\`${fault.name}\``))}.`)
  return { title: reading.question, lines }
}

function aboutTest(model: Model, test: Test): Omit<Hover, "span"> {
  const waits = test.waits > 0 ? `, then ${duration(test.waits)} of waiting` : ""
  const lines = [`${minutes(test.minutes)}${waits}; ${money(test.cost, model.ruleset.money)} in all.`]
  const parts = listed(test.parts.map((part) => named(at(model.places, part))))
  if (test.kind === "swaps") lines.push(`Fits known-good parts: ${parts}.`)
  if (test.kind === "removes") lines.push(`Tries the machine without ${parts}, then puts them back in.`)
  if (test.kind === "reads") lines.push("Only reads: it changes nothing on the machine.")
  for (const item of test.redoes) {
    const setup = at(model.places, item.setup)
    lines.push(
      item.named
        ? `Redoes ${named(setup)}, which cures a fault there ${percent(item.cures)} of the time.`
        : `Also redoes ${named(setup)}, ${why(model, test, item.setup)}; that cures a fault there ${percent(item.cures)} of the time.`,
    )
  }
  if (test.kind === "swaps" && test.redoes.length > 0)
    lines.push("After `gone`, any of these may be the cause. Putting the old part back tells them apart.")
  if (test.tries > 1) lines.push(`The complaint is then looked for ${test.tries} times.`)
  return { title: test.instruction, lines }
}

/** What a repair takes, without parts: `12 min, 9.60 EUR`. */
function workText(model: Model, work: Work): string {
  const waits = work.waits > 0 ? ` and ${duration(work.waits)} of waiting` : ""
  return `${minutes(work.minutes)}${waits}, ${money(workCost(model, work), model.ruleset.money)}`
}

/** Why a setup is redone by a test that does not name it: what leads there, one step back. */
function why(model: Model, test: Test, setup: PlaceIndex): string {
  const { of } = at(model.places, setup)
  if (of !== undefined && test.parts.includes(of)) return `because it is \`of ${at(model.places, of).name}\``
  const part = test.parts.find((each) => at(model.places, each).behind.includes(setup))
  if (part !== undefined) return `because ${named(at(model.places, part))} is \`behind\` it`
  const over = test.redoes.find((item) => at(model.places, item.setup).behind.includes(setup))
  return over ? `because ${named(at(model.places, over.setup))} is \`behind\` it` : "on the way"
}

/** A rule: what it rules out, and the chances of what is left before and after. */
export function aboutRule(model: Model, rule: Rule): Omit<Hover, "span"> {
  const out = ruledOutAlone(model, rule)
  const trusted = rule.chance < 1 ? ` It is trusted to ${percent(rule.chance)}.` : ""
  const lines = [`Rules out ${listed(out.slice(0, 12).map((i) => named(at(model.faults, i))))}.${trusted}`]
  const after = posterior(model, rule)
  if (after === undefined) lines.push("With these findings nothing is left that could be wrong.")
  else if (after !== "many")
    lines.push(`With these findings alone: ${listed(shifts(model, prior(model), after))}.`)
  return { title: rule.because ?? ruleName(rule), lines }
}

/** How the chances of what is left shift, the likeliest first. */
function shifts(model: Model, before: Presence, after: Presence): string[] {
  const left = model.faults
    .map((fault, i) => ({ name: named(fault), from: at(before.faults, i), to: at(after.faults, i) }))
    .filter(({ to }) => to > 0)
  if (after.unlisted > 0)
    left.push({ name: "something not listed", from: before.unlisted, to: after.unlisted })
  return left
    .sort((a, b) => b.to - a.to)
    .slice(0, 6)
    .map(({ name, from, to }) => `${name} ${percent(from)} → ${percent(to)}`)
}

/** A word of the language: what it says, and its form. */
export function hoverWord(keyword: string | undefined, word: string): Omit<Hover, "span"> | undefined {
  const own = DECLARATIONS.find((spec) => spec.keyword === keyword)
  const clause = own?.clauses.find((each) => each.words.split(" ").includes(word))
  if (word !== keyword && clause)
    return { title: clause.form, lines: [`${capitalized(clause.says)}.`, `\`${clause.example}\``] }
  const spec = DECLARATIONS.find((each) => each.keyword === word)
  if (!spec) return undefined
  return {
    title: `${spec.keyword} ${spec.head}`,
    lines: [`${capitalized(spec.says)}.`, `\`${spec.example}\``],
  }
}

const named = (each: Place | Fault) => backticked(each.name)
