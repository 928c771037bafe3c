/** The steps and answers of a record. What cannot be read is left out, and a diagnostic says so. */

import { RunError } from "../../run/error.ts"
import type { Graph } from "../../run/graph.ts"
import type { ReadingIndex, TestIndex } from "../../run/indexes.ts"
import { at } from "../../run/lookup.ts"
import { readAnswer } from "../../run/read.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import { type CaseStep, type Finding, PART_ACTIONS, type PartAction } from "./case.ts"
import { type LineDiagnostics, quote } from "./diagnostics.ts"
import { type Names, namesOf, readsOf } from "./graph-lookup.ts"
import type { Path } from "./json-locations.ts"
import { KeptByReading } from "./kept-by-reading.ts"

/** A value of JSON; objects are fields. */
export type Json = null | boolean | number | string | readonly Json[] | Fields
export type Fields = { readonly [key: string]: Json }

export const isFields = (value: unknown): value is Fields =>
  typeof value === "object" && value !== null && !Array.isArray(value)

const STEP_FIELDS = [
  "test",
  "reading",
  ...PART_ACTIONS,
  "fix",
  "look",
  "close",
  "handOver",
  "found",
  "minutes",
  "taken",
  "leftIn",
]

/** No job takes longer than a working year. */
const LONGEST = 120_000

const LEFT_OUT = "The step is left out."

/** A step without its minutes. */
type Done = CaseStep extends infer Step ? (Step extends unknown ? Omit<Step, "minutes"> : never) : never

export class StepReader {
  readonly #graph: Graph
  readonly #names: Names
  readonly #diagnostics: LineDiagnostics
  /** Minutes of the steps that were left out. */
  otherMinutes = 0

  constructor(graph: Graph, diagnostics: LineDiagnostics) {
    this.#graph = graph
    this.#names = namesOf(graph)
    this.#diagnostics = diagnostics
  }

  steps(steps: Json | undefined): CaseStep[] {
    if (steps === undefined || steps === null) return []
    if (Array.isArray(steps)) return steps.flatMap((json: Json, i) => this.#step(json, ["steps", i]) ?? [])
    this.#diagnostics.warn("case-shape", "`steps` lists what was done, in order.", ["steps"])
    return []
  }

  told(told: Json | undefined): Finding[] {
    if (told === undefined || told === null) return []
    if (isFields(told)) return this.#answers(told, ["told"])
    this.#diagnostics.warn("case-shape", "`told` holds the answers by the names of their questions.", [
      "told",
    ])
    return []
  }

  #step(step: Json, path: Path): CaseStep | undefined {
    if (!isFields(step)) {
      const message = "A step says what was done, like `test` or `putBack`, and what was `found`."
      this.#diagnostics.warn("case-shape", message, path, LEFT_OUT)
      return undefined
    }
    this.#diagnostics.spelling(step, STEP_FIELDS, path)
    const minutes = this.#minutes(step.minutes, [...path, "minutes"])
    const done = this.#done(step, path)
    if (done === undefined) {
      this.otherMinutes += minutes ?? 0
      return undefined
    }
    return minutes === undefined ? done : { ...done, minutes }
  }

  #minutes(minutes: Json | undefined, path: Path): number | undefined {
    if (minutes === undefined || minutes === null) return undefined
    if (typeof minutes === "number" && minutes >= 0 && minutes <= LONGEST) return minutes
    this.#diagnostics.warn(
      "case-value",
      `\`minutes\` is a number from 0 to ${LONGEST}; ${quote(minutes)} is not.`,
      path,
      "The minutes of the ruleset are used instead.",
    )
    return undefined
  }

  #done(step: Fields, path: Path): Done | undefined {
    const { test, reading, fix, look, close, handOver, found } = step
    // Most steps are tests.
    if (typeof test === "string") return this.#test(test, step, path)
    for (const action of PART_ACTIONS) {
      const part = step[action]
      if (typeof part === "string") return this.#partAction(action, part, found, path)
    }
    if (typeof fix === "string") return this.#fix(fix, found, path)
    if (look === true) return this.#looked({ do: "look" }, found, path)
    if (close === true) return this.#closed(found, path)
    if (handOver === true) return { do: "handOver", found: "done" }
    if (typeof reading === "string" && found !== undefined)
      return this.#read(
        isFields(found) ? this.#answers(found, [...path, "found"]) : this.#answer(reading, found, path),
      )
    if (isFields(found)) return this.#read(this.#answers(found, [...path, "found"]))
    const message =
      "This step does not say what was done: it has no `test`, `putBack`, `replace`, `fix` or the like."
    this.#diagnostics.warn("case-shape", message, path, LEFT_OUT)
    return undefined
  }

  #test(name: string, { found, leftIn, putBack }: Fields, path: Path): Done | undefined {
    const test = this.#names.tests.get(name)
    if (test === undefined) {
      const message = `\`${this.#graph.ruleset.name}\` has no test ${quote(name)}.`
      this.#diagnostics.unknownName(
        "case-test",
        message,
        name,
        this.#names.tests.keys(),
        [...path, "test"],
        LEFT_OUT,
      )
      return undefined
    }
    const [part, ...others] = at(this.#graph.model.tests, test).parts ?? []
    if (putBack === true && part !== undefined && others.length === 0)
      return this.#looked({ do: "putBack", part }, found, path)
    const reads = readsOf(this.#graph, test)
    if (reads) return this.#took(test, reads, found, path)
    return this.#looked({ do: "test", test, ...(leftIn === true ? { leftIn: true } : {}) }, found, path)
  }

  #partAction(action: PartAction, name: string, found: Json | undefined, path: Path): Done | undefined {
    const part = this.#names.parts.get(name)
    const isSwapped = part !== undefined && this.#names.swaps.has(part)
    if (part !== undefined && (isSwapped || action === "replace"))
      return action === "takeOut" || action === "keep"
        ? { do: action, part, found: "done" }
        : this.#looked({ do: action, part }, found, path)
    const { ruleset, places } = this.#graph
    const message =
      action === "replace"
        ? `\`${ruleset.name}\` has no part ${quote(name)}.`
        : `No test of \`${ruleset.name}\` swaps ${quote(name)}, so it cannot be ${spoken[action]}.`
    const known =
      action === "replace"
        ? this.#names.parts.keys()
        : [...this.#names.swaps.keys()].map((each) => at(places, each).name)
    this.#diagnostics.unknownName("case-part", message, name, known, [...path, action], LEFT_OUT)
    return undefined
  }

  #fix(name: string, found: Json | undefined, path: Path): Done | undefined {
    const fault = this.#names.faults.get(name)
    if (fault !== undefined) return this.#looked({ do: "fix", fault }, found, path)
    const message = `\`${this.#graph.ruleset.name}\` has no fault ${quote(name)}.`
    this.#diagnostics.unknownName(
      "case-fault",
      message,
      name,
      this.#names.faults.keys(),
      [...path, "fix"],
      LEFT_OUT,
    )
    return undefined
  }

  #looked<A extends object>(
    action: A,
    found: Json | undefined,
    path: Path,
  ): (A & { readonly found: "gone" | "stays" }) | undefined {
    if (found === "gone" || found === "stays") return { ...action, found }
    const what = found === undefined ? "`found` is missing" : `${quote(found)} is neither`
    const message = `After this step \`${this.#graph.complaint.name}\` is \`gone\` or \`stays\`: ${what}.`
    this.#diagnostics.warn("case-value", message, [...path, "found"], LEFT_OUT)
    return undefined
  }

  #closed(found: Json | undefined, path: Path): Done | undefined {
    if (found === "holds" || found === "fails") return { do: "close", found }
    const what = found === undefined ? "`found` is missing" : `${quote(found)} is neither`
    const message = `A proof run \`holds\` or \`fails\`: ${what}.`
    this.#diagnostics.warn("case-value", message, [...path, "found"], LEFT_OUT)
    return undefined
  }

  #took(
    test: TestIndex,
    readings: readonly ReadingIndex[],
    found: Json | undefined,
    path: Path,
  ): Done | undefined {
    const inFound = [...path, "found"]
    const [only, ...others] = readings.map((reading) => at(this.#graph.readings, reading).name)
    const findings = isFields(found)
      ? this.#answers(found, inFound)
      : only !== undefined && others.length === 0 && ["string", "number", "boolean"].includes(typeof found)
        ? this.#answer(only, found as Json, path)
        : undefined
    if (findings) return findings.length > 0 ? { do: "test", test, found: findings } : undefined
    const names = listed([only ?? "", ...others].map(backticked))
    const what = found === undefined ? "`found` is missing" : "`found` holds the values by these names"
    const message = `\`${at(this.#graph.tests, test).name}\` reads ${names}: ${what}.`
    this.#diagnostics.warn("case-shape", message, inFound, LEFT_OUT)
    return undefined
  }

  #read(found: readonly Finding[]): Done | undefined {
    return found.length > 0 ? { do: "read", found } : undefined
  }

  /** The one value of a step. */
  #answer(reading: string, found: Json, path: Path): Finding[] {
    return this.#finding(reading, found, [...path, "found"])
  }

  /** Values by the names of their readings. */
  #answers(values: Fields, path: Path): Finding[] {
    return Object.entries(values).flatMap(([name, value]) => this.#finding(name, value, [...path, name]))
  }

  #finding(name: string, value: Json, path: Path): Finding[] {
    const reading = this.#names.readings.get(name)
    if (reading === undefined) {
      const message = `\`${this.#graph.ruleset.name}\` has no reading ${quote(name)}.`
      const otherwise = "The finding is left out."
      this.#diagnostics.unknownName(
        "case-reading",
        message,
        name,
        this.#names.readings.keys(),
        path,
        otherwise,
      )
      return []
    }
    if (value === null) return []
    try {
      if (typeof value === "object") throw new RunError("answer", `\`${name}\` takes one value.`)
      const said = typeof value === "boolean" ? (value ? "yes" : "no") : value
      return [{ reading, cell: cellsOfWords.of(this.#graph, reading, said) }]
    } catch (problem) {
      if (!(problem instanceof RunError)) throw problem
      this.#diagnostics.warn("case-value", problem.message, path, "The finding is left out.")
      return []
    }
  }
}

const spoken: Readonly<Record<PartAction, string>> = {
  takeOut: "taken out again",
  putBack: "put back",
  keep: "kept",
  replace: "replaced",
}

/** @throws RunError that says what would have been a value. */
const cellsOfWords = new KeptByReading(
  (graph, reading, said: string | number) => at(readAnswer(graph, [reading], said), 0).cell,
)
