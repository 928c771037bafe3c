import { RunError } from "./error.ts"
import type { Graph } from "./graph.ts"

/** Conditions nested deeper than this are refused, so that reading one can never exhaust the stack. */
const deepest = 200
/** Larger numbers are refused, so that no sum or product of the ruleset's numbers leaves what a double holds. */
const largest = 1e12

// biome-ignore lint/suspicious/noExplicitAny: this file is where data of unknown shape becomes a Graph
type Unknown = any
type Check = (value: Unknown, at: string) => void

const refuse = (at: string, wanted: string): never => {
  throw new RunError(`This graph cannot be run: \`${at}\` must be ${wanted}.`)
}

const text: Check = (value, at) => {
  if (typeof value !== "string") refuse(at, "a text")
}
const flag: Check = (value, at) => {
  if (typeof value !== "boolean") refuse(at, "true or false")
}
const number =
  (low = -largest, high = largest): Check =>
  (value, at) => {
    if (!(typeof value === "number" && value >= low && value <= high))
      refuse(at, `a number from ${low} to ${high}`)
  }
const amount = number(0)
const chance = number(0, 1)
const whole =
  (low: number, high: number, wanted: string): Check =>
  (value, at) => {
    if (!(Number.isInteger(value) && value >= low && value <= high)) refuse(at, wanted)
  }
const oneOf =
  (...words: Unknown[]): Check =>
  (value, at) => {
    if (!words.includes(value)) refuse(at, words.map((word) => `\`${word}\``).join(" or "))
  }
const list =
  (item: Check, length?: number): Check =>
  (value, at) => {
    if (!Array.isArray(value)) refuse(at, "a list")
    if (length !== undefined && value.length !== length) refuse(at, `a list of ${length}`)
    value.forEach((element: Unknown, i: number) => {
      item(element, `${at}[${i}]`)
    })
  }
/** Checks each field that is named; a field whose name ends in `?` may be missing. */
const fields =
  (checks: Record<string, Check>): Check =>
  (value, at) => {
    if (!value || typeof value !== "object") refuse(at, "an object")
    for (const [key, check] of Object.entries(checks)) {
      const name = key.replace("?", "")
      if (name === key || value[name] !== undefined) check(value[name], `${at}.${name}`)
    }
  }

/**
 * Checks that `value` is a graph which can be run: format, lists, every index, every number; nodes without a cycle.
 * Time and stack stay in proportion to the size of the document.
 *
 * @throws RunError naming the first place that is wrong and what is wanted there.
 */
export function checkGraph(value: unknown): Graph {
  const graph = value as Unknown
  if (!graph || typeof graph !== "object") throw new RunError("A compiled graph is an object.")
  if (graph.format !== "ruleout-graph/1")
    throw new RunError(
      "This is not a graph that this runner reads: its `format` must be `ruleout-graph/1`. Compile the ruleset again.",
    )
  const anything = list(() => {})
  const lists = { places: anything, faults: anything, readings: anything, tests: anything, rules: anything }
  fields({ ...lists, proofs: anything, nodes: anything })(graph, "graph")
  const { places, faults, readings, tests, rules, proofs, nodes } = graph

  const index = (of: Unknown[], kind: string) => whole(0, of.length - 1, `the index of a ${kind}`)
  const place = index(places, "place")
  const fault = index(faults, "fault")
  const reading = index(readings, "reading")
  const test = index(tests, "test")
  const node = index(nodes, "node")

  const names = list(text)
  const cell: Check = (value, at) => {
    fields({ label: text, "values?": names })(value, at)
    if (!value.values) fields({ from: number(), to: number() })(value, at)
  }
  const readingShape: Check = (value, at) => {
    fields({ name: text, question: text, told: flag, cells: list(cell), "unit?": text })(value, at)
    if (value.cells.some((cell: Unknown) => !cell.values))
      fields({ unit: text, from: number(), to: number(), by: number(1e-15) })(value, at)
  }
  const cellOf = (r: number) => index(readings[r].cells, "cell of that reading")
  const spread = (r: number) => list(chance, readings[r].cells.length)

  const condition =
    (depth: number): Check =>
    (value, at) => {
      if (depth > deepest) refuse(at, "nested less deep")
      list(() => {})(value, at)
      oneOf("in", "and", "or", "not")(value[0], `${at}[0]`)
      if (value[0] === "in") {
        reading(value[1], `${at}[1]`)
        list(cellOf(value[1]))(value[2], `${at}[2]`)
      } else {
        if (value[0] === "not" && value.length !== 2) refuse(at, "`not` and one condition")
        list(condition(depth + 1))(value.slice(1), at)
      }
    }
  const holds = condition(0)

  fields({
    ruleset: fields({ name: text, title: text, version: text }),
    money: text,
    bench: amount,
    comeback: amount,
    handover: amount,
    trust: chance,
    complaint: fields({ name: text, text }),
    places: list(
      fields({
        name: text,
        label: text,
        kind: oneOf("part", "setup"),
        "price?": amount,
        "of?": place,
        "behind?": list(place),
      }),
    ),
    faults: list(
      fields({
        name: text,
        label: text,
        place,
        odds: amount,
        "remedy?": text,
        "fixCosts?": amount,
        "fixTakes?": amount,
      }),
    ),
    readings: list(readingShape),
    tests: list(
      fields({
        name: text,
        instruction: text,
        kind: oneOf("reads", "swaps", "redoes", "told"),
        minutes: amount,
        cost: amount,
        needs: names,
        cautions: names,
        "power?": oneOf("on", "off"),
        "after?": list(test),
      }),
    ),
    rules: list(fields({ "name?": text, "because?": text, line: amount })),
    start: node,
    model: fields({
      healthy: list(() => {}, readings.length),
      recurs: list(chance, faults.length),
      shows: list(
        list((pair, at) => {
          list(() => {}, 2)(pair, at)
          reading(pair[0], `${at}[0]`)
          spread(pair[0])(pair[1], `${at}[1]`)
        }),
        faults.length,
      ),
      tests: list(
        fields({
          "reads?": list(reading),
          "part?": place,
          "redoes?": list((pair, at) => {
            list(() => {}, 2)(pair, at)
            place(pair[0], `${at}[0]`)
            chance(pair[1], `${at}[1]`)
          }),
          "tries?": whole(1, 1e6, "a whole number from 1"),
          "onlyIf?": holds,
        }),
        tests.length,
      ),
      rules: list(fields({ when: holds, out: list(fault) }), rules.length),
      nevers: list(holds),
    }),
  })(graph, "graph")

  graph.model.healthy.forEach((chances: Unknown, r: number) => {
    spread(r)(chances, `graph.model.healthy[${r}]`)
  })
  graph.model.tests.forEach((meaning: Unknown, t: number) => {
    const { kind } = tests[t]
    const at = `graph.model.tests[${t}]`
    if (kind === "swaps") place(meaning.part, `${at}.part`)
    else if (kind !== "redoes" && !meaning.reads?.length) refuse(`${at}.reads`, "a list of readings")
  })

  list(
    fields({
      text,
      times: amount,
      minutes: amount,
      "places?": list(place),
      "expects?": (value, at) => {
        fields({ reading })(value, at)
        list(cellOf(value.reading))(value.cells, `${at}.cells`)
      },
    }),
  )(proofs, "graph.proofs")

  const candidates = list(fields({ fault, chance }))
  const into: number[] = nodes.map(() => 0)
  nodes.forEach((value: Unknown, n: number) => {
    const at = `graph.nodes[${n}]`
    fields({ do: oneOf("test", "verdict", "handover", "advise") })(value, at)
    if (value.do === "test") {
      fields({ test })(value, at)
      const reads: number[] | false =
        /^(reads|told)$/.test(tests[value.test].kind) && graph.model.tests[value.test].reads
      if (value.putBack && tests[value.test].kind !== "swaps")
        refuse(`${at}.test`, "a test that swaps a part")
      list((edge, at) => {
        fields({ chance, to: node, rulesOut: list(fault), because: list(index(rules, "rule")) })(edge, at)
        if (reads) {
          list(() => {}, reads.length)(edge.cells, `${at}.cells`)
          reads.forEach((r, i) => {
            cellOf(r)(edge.cells[i], `${at}.cells[${i}]`)
          })
        } else oneOf("gone", "stays")(edge.cells, `${at}.cells`)
        into[edge.to]!++
      })(value.edges, `${at}.edges`)
    } else if (value.do === "verdict") {
      fields({
        chance,
        candidates,
        proofs: list(index(proofs, "proof")),
        remedy: fields({ kind: oneOf("replace", "redo", "done"), "place?": place }),
      })(value, at)
      if (value.remedy.kind !== "done") place(value.remedy.place, `${at}.remedy.place`)
    } else if (value.do === "handover") fields({ candidates })(value, at)
  })
  // Kahn 1962: a node is free once all edges into it have been walked; in a cycle none ever is.
  const free: number[] = []
  into.forEach((count, n) => {
    if (!count) free.push(n)
  })
  for (const n of free)
    for (const edge of nodes[n].do === "test" ? nodes[n].edges : []) if (!--into[edge.to]!) free.push(edge.to)
  if (free.length < nodes.length) refuse("graph.nodes", "without a cycle")
  return graph
}
