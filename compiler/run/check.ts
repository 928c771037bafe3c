import { RunError } from "./error.ts"
import type { Graph } from "./graph.ts"

/** Conditions nested deeper than this are refused, so that none can exhaust the stack. */
const deepest = 200
/** Greater numbers are refused, so that no sum or product of them leaves what a double holds. */
const greatest = 1e12

// biome-ignore lint/suspicious/noExplicitAny: this file is where data of unknown shape becomes a Graph
type Unknown = any
/** A predicate, words with `|` of which one is wanted, the shape of a list's items, or of fields (`?` where one may be missing). */
type Shape = ((value: Unknown) => unknown) | string | readonly [Shape] | { readonly [field: string]: Shape }

/**
 * Checks that `graph` can be run: format, lists, every index, every number; nodes without a cycle. Time and stack stay
 * in proportion to the size of the document.
 *
 * @throws RunError naming the first place that is wrong.
 */
export function checkGraph(graph: Unknown): Graph {
  let at = ""
  /** True, or it throws with `at` naming the place. What is no list or no object throws by itself. */
  const is = (value: Unknown, shape: Shape, name = ""): boolean => {
    const outer = at
    at += name
    const good =
      typeof shape === "function"
        ? shape(value)
        : typeof shape === "string"
          ? shape.split("|").includes(value)
          : Array.isArray(shape)
            ? value.every((item: Unknown, i: number) => is(item, shape[0], `[${i}]`))
            : Object.entries(shape).every(([field, wanted]) => {
                const key = field.replace("?", "")
                return (key !== field && value[key] === undefined) || is(value[key], wanted, `.${key}`)
              })
    if (!good) throw at
    at = outer
    return true
  }

  const text = (value: Unknown) => typeof value === "string"
  const number = (value: Unknown) => typeof value === "number" && Math.abs(value) <= greatest
  const amount = (value: Unknown) => number(value) && value >= 0
  const chance = (value: Unknown) => amount(value) && value <= 1
  const isIndex = (value: Unknown, list: Unknown) => number(value) && list[value]
  const indexOf = (list: string) => (value: Unknown) => isIndex(value, graph[list])
  const place = indexOf("places")
  const fault = indexOf("faults")
  const reading = indexOf("readings")
  const test = indexOf("tests")
  const areCells = (cells: Unknown, reading: number) =>
    is(cells, [(cell) => isIndex(cell, graph.readings[reading].cells)])
  const isSpread = (chances: Unknown, reading: number) =>
    is(chances, [chance]) && chances.length === graph.readings[reading].cells.length
  const isCondition = ([kind, ...items]: Unknown, depth: number): unknown =>
    kind === "in"
      ? areCells(items[1], items[0])
      : depth < deepest &&
        (/^(and|or)$/.test(kind) || (kind === "not" && items.length === 1)) &&
        items.every((item: Unknown) => isCondition(item, depth + 1))
  const condition = (value: Unknown) => isCondition(value, 0)

  const candidates: Shape = [{ fault, chance }]
  const nodes: Record<string, Shape> = {
    test: {
      test,
      edges: [{ to: indexOf("nodes"), chance, rulesOut: [fault], because: [indexOf("rules")] }],
    },
    verdict: {
      remedy: { kind: "replace|redo|done", "place?": place },
      chance,
      candidates,
      proofs: [indexOf("proofs")],
    },
    handover: { candidates },
    advise: {},
  }
  const shape: Shape = {
    format: "ruleout-graph/1",
    comeback: amount,
    handover: amount,
    trust: chance,
    complaint: { name: text },
    places: [
      { name: text, label: text, kind: "part|setup", "price?": amount, "of?": place, "behind?": [place] },
    ],
    faults: [{ name: text, label: text, place, odds: amount, "remedy?": text }],
    readings: [
      {
        name: text,
        question: text,
        told: (value) => typeof value === "boolean",
        "unit?": text,
        "from?": number,
        "to?": number,
        "by?": amount,
        cells: [{ label: text, "values?": [text], "from?": number, "to?": number }],
      },
    ],
    tests: [
      {
        name: text,
        instruction: text,
        kind: "reads|swaps|redoes|told",
        minutes: amount,
        cost: amount,
        needs: [text],
        cautions: [text],
        "power?": "on|off",
        "after?": [test],
      },
    ],
    rules: [{ "name?": text, "because?": text, line: amount }],
    proofs: [
      {
        text,
        times: amount,
        minutes: amount,
        "places?": [place],
        "expects?": ({ reading, cells }) => areCells(cells, reading),
      },
    ],
    start: indexOf("nodes"),
    nodes: [(node) => is(node, { do: "test|verdict|handover|advise" }) && is(node, nodes[node.do]!)],
    model: {
      healthy: [[chance]],
      recurs: [chance],
      shows: [[([reading, chances]) => isSpread(chances, reading)]],
      tests: [
        {
          "reads?": [reading],
          "part?": place,
          "redoes?": [([setup, cures]) => place(setup) && chance(cures)],
          "tries?": (value) => number(value) && value >= 1,
          "onlyIf?": condition,
        },
      ],
      rules: [{ when: condition, out: [fault] }],
      nevers: [condition],
    },
  }

  try {
    is(graph, shape, "graph")
    const { readings, tests, nodes, model, places, faults, rules } = graph
    at = "graph.model"
    const lists = { healthy: readings, recurs: faults, shows: faults, tests, rules }
    is(
      Object.entries(lists).every(([key, list]) => model[key].length === list.length) &&
        model.healthy.every(isSpread) &&
        model.tests.every(({ reads, part }: Unknown, t: number) => {
          const { kind } = tests[t]
          return /reads|told/.test(kind)
            ? reads.length && new Set(reads).size === reads.length
            : !reads && (kind === "redoes" || places[part])
        }),
      Boolean,
    )
    at = "graph.nodes"
    // True where all that follows is sound; false as long as that is open, so that a cycle is refused. A path that is
    // too long for the stack ends in the same refusal: no plan has a path of more than two steps for each test.
    const sound: Unknown[] = []
    const isSound = (_: Unknown, n: number): boolean => {
      if (n in sound) return sound[n]!
      const { do: kind, remedy, test, putBack, edges } = nodes[n]
      const { reads } = model.tests[test] ?? {}
      sound[n] = false
      sound[n] =
        kind === "test"
          ? (!putBack || tests[test].kind === "swaps") &&
            edges.every(
              ({ to, cells }: Unknown) =>
                isSound(0, to) &&
                (reads
                  ? cells.length === reads.length &&
                    reads.every((reading: number, i: number) => areCells([cells[i]], reading))
                  : is(cells, "gone|stays")),
            )
          : kind !== "verdict" || remedy.kind === "done" || places[remedy.place]
      return sound[n]!
    }
    is(nodes.every(isSound), Boolean)
  } catch {
    const wanted = at === "graph.format" ? ", this runner reads `ruleout-graph/1`" : ""
    throw new RunError(`\`${at}\` is missing or wrong${wanted}: compile the ruleset again.`)
  }
  return graph
}
