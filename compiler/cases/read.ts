/**
 * Recorded cases from lines of JSON. A line that cannot be read spoils no other; a step or an answer that cannot be
 * read is left out of its case, and said so.
 */
import { RunError } from "../run/error.ts"
import type { Graph } from "../run/graph.ts"
import { readValue, type Value } from "../run/read.ts"
import { type Finding, finding, type Severity } from "../syntax/finding.ts"
import { nearest } from "../syntax/nearest.ts"
import type { Case, Found, Step, Truth } from "./case.ts"
import { flaw, locate, type Path, type Stretch } from "./json.ts"

/** A finding in a line of cases: the span is in the whole file, `line` counts from 1, `path` is like `steps[2].test`. */
export interface CaseFinding extends Finding {
  readonly line: number
  readonly path: string
}

export interface ReadLine {
  /** Absent where the line is empty or cannot be used at all. */
  readonly case?: Case
  readonly findings: readonly CaseFinding[]
}

/** Where a line stands: name of the file, and offset of the line in it (UTF-16 code units). */
export interface Place {
  readonly file: string
  readonly offset: number
}

/** Reads line `n` (from 1) of a file of cases for this graph. Never throws. */
export function readCase(
  line: string,
  n: number,
  graph: Graph,
  place: Place = { file: "cases.jsonl", offset: 0 },
): ReadLine {
  return new LineReader(line, n, graph, place).read()
}

/** All cases of a text, line by line; lines end in LF or CRLF. */
export function* readCases(text: string, graph: Graph, file = "cases.jsonl"): Generator<ReadLine> {
  let offset = 0
  for (let n = 1; offset < text.length; n++) {
    const end = text.indexOf("\n", offset)
    const line = text.slice(offset, end < 0 ? text.length : end)
    yield readCase(line, n, graph, { file, offset })
    offset += line.length + 1
  }
}

interface Names {
  readonly tests: ReadonlyMap<string, number>
  readonly readings: ReadonlyMap<string, number>
  readonly faults: ReadonlyMap<string, number>
  /** The test that fits a part. */
  readonly fits: ReadonlyMap<string, readonly number[]>
}

const kept = new WeakMap<Graph, Names>()

function namesOf(graph: Graph): Names {
  const known = kept.get(graph)
  if (known) return known
  const index = (all: readonly { readonly name: string }[]) => new Map(all.map(({ name }, i) => [name, i]))
  const fits = new Map<string, number[]>()
  graph.model.tests.forEach(({ part }, test) => {
    if (part === undefined) return
    const { name } = graph.places[part]!
    fits.set(name, [...(fits.get(name) ?? []), test])
  })
  const names = {
    tests: index(graph.tests),
    readings: index(graph.readings),
    faults: index(graph.faults),
    fits,
  }
  kept.set(graph, names)
  return names
}

type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json }
type Fields = { readonly [key: string]: Json }

const isFields = (value: unknown): value is Fields =>
  typeof value === "object" && value !== null && !Array.isArray(value)

const caseFields = ["id", "date", "complaint", "told", "steps", "fault", "confirmed", "came_back"]
const stepFields = ["test", "putBack", "reading", "found", "minutes"]

/** No job takes longer than a working year. */
const longest = 120_000

class LineReader {
  readonly #line: string
  readonly #n: number
  readonly #graph: Graph
  readonly #place: Place
  readonly #names: Names
  readonly #findings: CaseFinding[] = []
  #otherMinutes = 0

  constructor(line: string, n: number, graph: Graph, place: Place) {
    this.#line = line
    this.#n = n
    this.#graph = graph
    this.#place = place
    this.#names = namesOf(graph)
  }

  read(): ReadLine {
    const made = this.#case()
    return { ...(made ? { case: made } : {}), findings: this.#findings }
  }

  #case(): Case | undefined {
    // A byte order mark belongs to no line.
    const text = this.#n === 1 && this.#line.charCodeAt(0) === 0xfeff ? this.#line.slice(1) : this.#line
    if (text.trim() === "") return undefined
    let json: Json
    try {
      json = JSON.parse(text) as Json
    } catch {
      const skipped = this.#line.length - text.length
      const { at, expected } = flaw(text) ?? { at: 0, expected: "a value" }
      const found = text[at] === undefined ? "the line ends" : `there is \`${text[at]}\``
      const stretch = { start: at + skipped, end: Math.min(at + 1, text.length) + skipped }
      const help = "Each case is one line of JSON, from `{` to `}`."
      this.#say("error", "case-json", `Not JSON: ${found} where ${expected} is expected.`, [], {
        help,
        stretch,
      })
      return undefined
    }
    if (!isFields(json)) {
      this.#say("error", "case-shape", "A case is an object with `id`, `steps` and `fault`.", [])
      return undefined
    }
    this.#spelling(json, caseFields, [])
    const { id } = json
    if (typeof id !== "string" || id === "") {
      this.#say("error", "case-shape", "This case has no `id`.", id === undefined ? [] : ["id"], {
        help: 'Give it one that is not a name of a person, like `"id":"K-0412"`.',
      })
      return undefined
    }
    this.#complaint(json.complaint)
    const truth = this.#truth(json.fault)
    const told = this.#told(json.told)
    const steps = this.#steps(json.steps)
    return {
      id,
      line: this.#n,
      ...(this.#date(json.date) ? { date: json.date as string } : {}),
      told,
      steps,
      truth,
      cameBack: this.#flag(json.came_back, "came_back"),
      otherMinutes: this.#otherMinutes,
    }
  }

  #complaint(name: Json | undefined): void {
    const wanted = this.#graph.complaint.name
    if (name === undefined || name === null || name === wanted) return
    this.#say(
      "warning",
      "case-complaint",
      `This case has another complaint than \`${wanted}\`.`,
      ["complaint"],
      {
        help: `Replay it on the ruleset for ${quote(name)}.`,
      },
    )
  }

  #date(date: Json | undefined): boolean {
    if (date === undefined || date === null) return false
    if (typeof date === "string" && /^\d{4}-(0\d|1[0-2])-([0-2]\d|3[01])(T|$)/.test(date)) return true
    this.#say("warning", "case-value", `${quote(date)} is not a date.`, ["date"], {
      help: "Write it like `2026-03-09`.",
    })
    return false
  }

  #flag(value: Json | undefined, name: string): boolean {
    if (value === undefined || value === null || typeof value === "boolean") return value === true
    this.#say("warning", "case-value", `\`${name}\` is true or false; ${quote(value)} is neither.`, [name])
    return false
  }

  #truth(name: Json | undefined): Truth {
    if (name === undefined || name === null || name === "") return { known: "no" }
    if (typeof name !== "string") {
      this.#say("warning", "case-value", `\`fault\` is the name of a fault; ${quote(name)} is not.`, [
        "fault",
      ])
      return { known: "no" }
    }
    const fault = this.#names.faults.get(name)
    if (fault !== undefined) return { known: "listed", fault }
    this.#unknown(
      "case-fault",
      "fault",
      name,
      this.#names.faults.keys(),
      ["fault"],
      "Only handing over is right for this case.",
    )
    return { known: "unlisted", name }
  }

  #told(told: Json | undefined): Found[] {
    if (told === undefined || told === null) return []
    if (!isFields(told)) {
      this.#say("warning", "case-shape", "`told` holds the answers by the names of their questions.", [
        "told",
      ])
      return []
    }
    return this.#answers(told, ["told"])
  }

  #steps(steps: Json | undefined): Step[] {
    if (steps === undefined || steps === null) return []
    if (!Array.isArray(steps)) {
      this.#say("warning", "case-shape", "`steps` is a list of what was done, in order.", ["steps"])
      return []
    }
    return (steps as readonly Json[]).flatMap((step, i) => this.#step(step, ["steps", i]) ?? [])
  }

  #step(step: Json, at: Path): Step | undefined {
    if (!isFields(step)) {
      this.#say("warning", "case-shape", "A step has a `test` or a `putBack`, and what was `found`.", at)
      return undefined
    }
    this.#spelling(step, stepFields, at)
    const minutes = this.#minutes(step.minutes, [...at, "minutes"])
    const read = this.#done(step, at)
    if (read === undefined) {
      this.#otherMinutes += minutes ?? 0
      return undefined
    }
    return { ...read, ...(minutes === undefined ? {} : { minutes }) }
  }

  #minutes(minutes: Json | undefined, at: Path): number | undefined {
    if (minutes === undefined || minutes === null) return undefined
    if (typeof minutes === "number" && minutes >= 0 && minutes <= longest) return minutes
    this.#say(
      "warning",
      "case-value",
      `\`minutes\` is a number from 0 to ${longest}; ${quote(minutes)} is not.`,
      at,
    )
    return undefined
  }

  #done(step: Fields, at: Path): Step | undefined {
    if (typeof step.putBack === "string") return this.#putBack(step, step.putBack, at)
    const name = step.test
    if (name === undefined && isFields(step.found))
      return this.#answersOf(undefined, this.#answers(step.found, [...at, "found"]))
    if (typeof name !== "string") {
      this.#say("warning", "case-shape", "This step names no `test` and no part that was `putBack`.", at)
      return undefined
    }
    const test = this.#names.tests.get(name)
    if (test === undefined) {
      this.#unknown(
        "case-test",
        "test",
        name,
        this.#names.tests.keys(),
        [...at, "test"],
        "The step is left out.",
      )
      return undefined
    }
    if (step.putBack === true) return this.#looked(step.found, test, true, at)
    const { kind } = this.#graph.tests[test]!
    if (kind === "swaps" || kind === "redoes") return this.#looked(step.found, test, false, at)
    return this.#took(step.found, test, this.#graph.model.tests[test]!.reads!, at)
  }

  #putBack(step: Fields, part: string, at: Path): Step | undefined {
    const fits = this.#names.fits.get(part)
    if (fits?.[0] !== undefined) return this.#looked(step.found, fits[0], true, at)
    this.#unknown(
      "case-part",
      "part that a test fits",
      part,
      this.#names.fits.keys(),
      [...at, "putBack"],
      "The step is left out.",
    )
    return undefined
  }

  #looked(found: Json | undefined, test: number, putBack: boolean, at: Path): Step | undefined {
    if (found === "gone" || found === "stays") return { test, putBack, found }
    const what = found === undefined ? "It is missing" : `${quote(found)} is neither`
    this.#say(
      "warning",
      "case-value",
      `After this step \`${this.#graph.complaint.name}\` is \`gone\` or \`stays\`. ${what}.`,
      [...at, "found"],
      {
        help: "The step is left out.",
      },
    )
    return undefined
  }

  #took(found: Json | undefined, test: number, reads: readonly number[], at: Path): Step | undefined {
    const path = [...at, "found"]
    const only = reads.length === 1 ? this.#graph.readings[reads[0]!]!.name : undefined
    if (!isFields(found)) {
      if (
        only !== undefined &&
        (typeof found === "string" || typeof found === "number" || typeof found === "boolean")
      )
        return this.#answersOf(test, this.#answers({ [only]: found }, path, true))
      this.#say(
        "warning",
        "case-shape",
        `\`${this.#graph.tests[test]!.name}\` reads ${this.#list(reads)}: \`found\` holds the values by name.`,
        path,
        { help: "The step is left out." },
      )
      return undefined
    }
    return this.#answersOf(test, this.#answers(found, path))
  }

  #answersOf(test: number | undefined, found: readonly Found[]): Step | undefined {
    if (found.length === 0) return undefined
    return { ...(test === undefined ? {} : { test }), putBack: false, found }
  }

  #answers(values: Fields, at: Path, whole = false): Found[] {
    return Object.entries(values).flatMap(([name, value]) => {
      const path = whole ? at : [...at, name]
      const reading = this.#names.readings.get(name)
      if (reading === undefined) {
        this.#unknown(
          "case-reading",
          "reading",
          name,
          this.#names.readings.keys(),
          path,
          "The finding is left out.",
        )
        return []
      }
      if (value === null) return []
      try {
        if (typeof value === "object") throw new RunError(`\`${name}\` wants one value.`)
        return [{ reading, cell: readValue(this.#graph.readings[reading]!, value as Value).cell }]
      } catch (problem) {
        if (!(problem instanceof RunError)) throw problem
        this.#say("warning", "case-value", problem.message, path, { help: "The finding is left out." })
        return []
      }
    })
  }

  #list(readings: readonly number[]): string {
    return readings.map((reading) => `\`${this.#graph.readings[reading]!.name}\``).join(", ")
  }

  /** Fields of the shop's own are welcome; one that is nearly ours is a slip. */
  #spelling(fields: Fields, known: readonly string[], at: Path): void {
    for (const name of Object.keys(fields)) {
      if (known.includes(name)) continue
      const meant = nearest(name, known)
      if (meant !== undefined && fields[meant] === undefined)
        this.#say("warning", "case-field", `\`${name}\` is read as a field of your own.`, [...at, name], {
          help: `Did you mean \`${meant}\`?`,
        })
    }
  }

  #unknown(
    code: string,
    kind: string,
    name: string,
    known: Iterable<string>,
    path: Path,
    otherwise: string,
  ): void {
    const meant = nearest(name, known)
    this.#say("warning", code, `\`${this.#graph.ruleset.name}\` has no ${kind} ${quote(name)}.`, path, {
      help: meant === undefined ? otherwise : `Did you mean \`${meant}\`? ${otherwise}`,
    })
  }

  #say(
    severity: Severity,
    code: string,
    message: string,
    path: Path,
    more: { help?: string; stretch?: Stretch } = {},
  ): void {
    const { start, end } = more.stretch ?? locate(this.#line.replace("\ufeff", " "), path)
    const { file, offset } = this.#place
    const span = { file, start: offset + start, end: offset + end }
    this.#findings.push({
      ...finding(severity, code, span, message, { help: more.help }),
      line: this.#n,
      path: path.reduce<string>(
        (text, key) => text + (typeof key === "number" ? `[${key}]` : text === "" ? key : `.${key}`),
        "",
      ),
    })
  }
}

/** The user's own text, kept short. */
function quote(value: Json): string {
  const text = typeof value === "string" ? value : JSON.stringify(value)
  return `\`${text.length > 60 ? `${text.slice(0, 57)}…` : text}\``
}
