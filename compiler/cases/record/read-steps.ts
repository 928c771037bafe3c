/** The steps and answers of a record. What cannot be read is left out, and said so. */
import { RunError } from "../../run/error.ts"
import type { Graph } from "../../run/graph.ts"
import { readAnswer } from "../../run/read.ts"
import type { Found, Step } from "./case.ts"
import { quote, type Remarks } from "./diagnostics.ts"
import { type Names, namesOf, readsOf } from "./graph-lookup.ts"
import type { Path } from "./json-locations.ts"

/** A value of JSON; objects are fields. */
export type Json = null | boolean | number | string | readonly Json[] | Fields
export type Fields = { readonly [key: string]: Json }

export const isFields = (value: unknown): value is Fields =>
  typeof value === "object" && value !== null && !Array.isArray(value)

const stepFields = ["test", "putBack", "found", "minutes"]

/** No job takes longer than a working year. */
const longest = 120_000

const leftOut = "The step is left out."

export class StepReader {
  readonly #graph: Graph
  readonly #names: Names
  readonly #remarks: Remarks
  /** Minutes of the steps that were left out. */
  otherMinutes = 0

  constructor(graph: Graph, remarks: Remarks) {
    this.#graph = graph
    this.#names = namesOf(graph)
    this.#remarks = remarks
  }

  steps(steps: Json | undefined): Step[] {
    if (steps === undefined || steps === null) return []
    if (Array.isArray(steps)) {
      const all: Step[] = []
      steps.forEach((json: Json, i) => {
        const step = this.#step(json, ["steps", i], all)
        if (step) all.push(step)
      })
      return all
    }
    this.#remarks.warn("case-shape", "`steps` is a list of what was done, in order.", ["steps"])
    return []
  }

  told(told: Json | undefined): Found[] {
    if (told === undefined || told === null) return []
    if (isFields(told)) return this.#answers(told, ["told"])
    this.#remarks.warn("case-shape", "`told` holds the answers by the names of their questions.", ["told"])
    return []
  }

  #step(step: Json, at: Path, before: readonly Step[]): Step | undefined {
    if (!isFields(step)) {
      this.#remarks.warn(
        "case-shape",
        "A step has a `test` or a `putBack`, and what was `found`.",
        at,
        leftOut,
      )
      return undefined
    }
    this.#remarks.spelling(step, stepFields, at)
    const minutes = this.#minutes(step.minutes, [...at, "minutes"])
    const done = this.#done(step, at, before)
    if (done === undefined) {
      this.otherMinutes += minutes ?? 0
      return undefined
    }
    return { ...done, ...(minutes === undefined ? {} : { minutes }) }
  }

  #minutes(minutes: Json | undefined, at: Path): number | undefined {
    if (minutes === undefined || minutes === null) return undefined
    if (typeof minutes === "number" && minutes >= 0 && minutes <= longest) return minutes
    this.#remarks.warn(
      "case-value",
      `\`minutes\` is a number from 0 to ${longest}; ${quote(minutes)} is not.`,
      at,
      "The test's own minutes are taken.",
    )
    return undefined
  }

  #done({ test: name, putBack, found }: Fields, at: Path, before: readonly Step[]): Step | undefined {
    if (typeof putBack === "string") return this.#putBack(putBack, found, at, before)
    if (name === undefined && isFields(found))
      return this.#read(undefined, this.#answers(found, [...at, "found"]))
    if (typeof name !== "string") {
      this.#remarks.warn(
        "case-shape",
        "This step names no `test` and no part that was `putBack`.",
        at,
        leftOut,
      )
      return undefined
    }
    const test = this.#names.tests.get(name)
    if (test === undefined) {
      const message = `\`${this.#graph.ruleset.name}\` has no test ${quote(name)}.`
      this.#remarks.unknown("case-test", message, name, this.#names.tests.keys(), [...at, "test"], leftOut)
      return undefined
    }
    if (putBack === true) return this.#looked(found, test, true, at)
    const reads = readsOf(this.#graph, test)
    return reads ? this.#took(found, test, reads, at) : this.#looked(found, test, false, at)
  }

  #putBack(part: string, found: Json | undefined, at: Path, before: readonly Step[]): Step | undefined {
    const fitters = this.#names.fits.get(part) ?? []
    // What one of several tests fitted is put back as that test has it.
    const test = before.findLast((step) => !step.putBack && fitters.includes(step.test!))?.test ?? fitters[0]
    if (test !== undefined) return this.#looked(found, test, true, at)
    const message = `No test of \`${this.#graph.ruleset.name}\` fits a ${quote(part)} that could be put back.`
    this.#remarks.unknown("case-part", message, part, this.#names.fits.keys(), [...at, "putBack"], leftOut)
    return undefined
  }

  #looked(found: Json | undefined, test: number, putBack: boolean, at: Path): Step | undefined {
    if (found === "gone" || found === "stays") return { test, putBack, found }
    const what = found === undefined ? "`found` is missing" : `${quote(found)} is neither`
    const message = `After this step \`${this.#graph.complaint.name}\` is \`gone\` or \`stays\`: ${what}.`
    this.#remarks.warn("case-value", message, [...at, "found"], leftOut)
    return undefined
  }

  #took(found: Json | undefined, test: number, readings: readonly number[], at: Path): Step | undefined {
    const path = [...at, "found"]
    const reads = readings.map((reading) => this.#graph.readings[reading]!.name)
    if (isFields(found)) return this.#read(test, this.#answers(found, path))
    if (reads.length === 1 && ["string", "number", "boolean"].includes(typeof found))
      return this.#read(test, this.#answers({ [reads[0]!]: found as Json }, path, true))
    const names = reads.map((name) => `\`${name}\``).join(" and ")
    const what = found === undefined ? "`found` is missing" : "`found` holds the values by these names"
    this.#remarks.warn(
      "case-shape",
      `\`${this.#graph.tests[test]!.name}\` reads ${names}: ${what}.`,
      path,
      leftOut,
    )
    return undefined
  }

  #read(test: number | undefined, found: readonly Found[]): Step | undefined {
    if (found.length === 0) return undefined
    return { ...(test === undefined ? {} : { test }), putBack: false, found }
  }

  /** `whole`: `at` is the place of the value itself. */
  #answers(values: Fields, at: Path, whole = false): Found[] {
    return Object.entries(values).flatMap(([name, value]) => {
      const path = whole ? at : [...at, name]
      const reading = this.#names.readings.get(name)
      if (reading === undefined) {
        const message = `\`${this.#graph.ruleset.name}\` has no reading ${quote(name)}.`
        const otherwise = "The finding is left out."
        this.#remarks.unknown("case-reading", message, name, this.#names.readings.keys(), path, otherwise)
        return []
      }
      if (value === null) return []
      try {
        if (typeof value === "object") throw new RunError(`\`${name}\` wants one value.`)
        const said = typeof value === "boolean" ? (value ? "yes" : "no") : value
        return [{ reading, cell: cellOf(this.#graph, reading, said) }]
      } catch (problem) {
        if (!(problem instanceof RunError)) throw problem
        this.#remarks.warn("case-value", problem.message, path, "The finding is left out.")
        return []
      }
    })
  }
}

/** Meters repeat themselves: this many values of a reading are kept with their cells. */
const mostKept = 10_000

const kept = new WeakMap<Graph, Map<string | number, number>[]>()

/** @throws RunError that says what would have been a value. */
function cellOf(graph: Graph, reading: number, said: string | number): number {
  let all = kept.get(graph)
  if (all === undefined) {
    all = graph.readings.map(() => new Map())
    kept.set(graph, all)
  }
  const known = all[reading]!
  const cell = known.get(said) ?? readAnswer(graph, [reading], said)[0]!.cell
  if (known.size < mostKept) known.set(said, cell)
  return cell
}
