import { RunError } from "./error.ts"
import type { Graph } from "./graph.ts"

/**
 * The shape of a graph, as far as the runner reads it: `field:type`, `?` where the field may be missing, `*` for a list,
 * `#list` for an index into that list of the graph, words with `|` of which one is wanted. Without a type, a list has
 * items of the shape of its name, and another field is a text. Nodes have the shape that their `do` names.
 */
const shapes: Record<string, string> = {
  graph:
    "comeback:amount handover:amount trust:chance complaint:complaint places* faults* readings* tests* rules* proofs* start:#nodes nodes:node* model:model",
  complaint: "name",
  places: "name label kind:part|setup price?:amount of?:#places behind?:#places*",
  faults: "name label place:#places odds:amount remedy?",
  readings: "name question told:flag unit? from?:number to?:number by?:amount cells*",
  cells: "label values?:text* from?:number to?:number",
  tests:
    "name instruction kind:reads|swaps|redoes|told minutes:amount cost:amount needs:text* cautions:text* power?:on|off after?:#tests*",
  rules: "name? because? line:amount",
  proofs: "text times:amount minutes:amount places?:#places* expects?:cellsOf",
  test: "test:#tests edges*",
  edges: "to:#nodes chance:chance rulesOut:#faults* because:#rules*",
  verdict: "remedy:remedy chance:chance candidates* proofs:#proofs*",
  remedy: "kind:replace|redo|done place?:#places",
  handover: "candidates*",
  candidates: "fault:#faults chance:chance",
  advise: "do",
  model: "healthy:chance** recurs:chance* shows:share** tests:meaning* rules:masks* nevers:condition*",
  meaning: "reads?:#readings* part?:#places redoes?:redo* tries?:amount onlyIf?:condition",
  masks: "when:condition out:#faults*",
}

/** Conditions nested deeper than this are refused, so that none can exhaust the stack. */
const deepest = 200
/** Greater numbers are refused, so that no sum or product of them leaves what a double holds. */
const greatest = 1e12

// biome-ignore lint/suspicious/noExplicitAny: this file is where data of unknown shape becomes a Graph
type Unknown = any

/**
 * Checks that `graph` can be run: format, lists, every index, every number; nodes without a cycle. Time and stack stay
 * in proportion to the size of the document.
 *
 * @throws RunError naming the first place that is wrong.
 */
export function checkGraph(graph: Unknown): Graph {
  let at = "graph"
  const need = (good: unknown) => {
    if (!good) throw at
  }
  const isNumber = (value: Unknown) => typeof value === "number" && Math.abs(value) <= greatest
  const isChance = (value: Unknown) => isNumber(value) && value >= 0 && value <= 1
  const isIndex = (value: Unknown, list: Unknown[]) => isNumber(value) && list[value]
  const areCells = (cells: Unknown[], reading: number) =>
    cells.every((cell) => isIndex(cell, graph.readings[reading].cells))
  const isSpread = (chances: Unknown[], reading: number) =>
    chances.length === graph.readings[reading].cells.length && chances.every(isChance)
  const isCondition = ([kind, ...items]: Unknown, depth = 0): boolean =>
    kind === "in"
      ? areCells(items[1], items[0])
      : depth < deepest &&
        (/^(and|or)$/.test(kind) || (kind === "not" && items.length === 1)) &&
        items.every((item: Unknown) => isCondition(item, depth + 1))
  const plain: Record<string, (value: Unknown) => unknown> = {
    text: (value) => typeof value === "string",
    flag: (value) => typeof value === "boolean",
    number: isNumber,
    amount: (value) => isNumber(value) && value >= 0,
    chance: isChance,
    condition: (value) => isCondition(value),
    cellsOf: ({ reading, cells }) => areCells(cells, reading),
    share: ([reading, chances]) => isSpread(chances, reading),
    redo: ([setup, cures]) => isIndex(setup, graph.places) && isChance(cures),
    node: (value) => value.do && is(value, value.do),
  }
  /** True, or it throws; `at` then names the place. What is no list or no object throws by itself. */
  const is = (value: Unknown, type: string, name = ""): boolean => {
    const outer = at
    at += name
    if (type.endsWith("*")) value.every((item: Unknown, i: number) => is(item, type.slice(0, -1), `[${i}]`))
    else if (type[0] === "#") need(isIndex(value, graph[type.slice(1)]))
    else if (plain[type]) need(plain[type](value))
    else if (shapes[type])
      for (const field of shapes[type].split(" ")) {
        const [, key, optional, wanted] = /(\w+)(\??):?(.*)/.exec(field)!
        if (!optional || value[key!] !== undefined)
          is(value[key!], wanted === "*" ? `${key}*` : wanted || "text", `.${key}`)
      }
    else need(type.split("|").includes(value))
    at = outer
    return true
  }

  try {
    at = "format"
    need(graph.format === "ruleout-graph/1")
    at = "graph"
    is(graph, "graph")
    const { readings, tests, nodes, model, places, faults, rules } = graph
    at = "graph.model"
    for (const [key, list] of Object.entries({
      healthy: readings,
      recurs: faults,
      shows: faults,
      tests,
      rules,
    }))
      need(model[key].length === list.length)
    need(model.healthy.every(isSpread))
    model.tests.forEach(({ reads = [], part, tries }: Unknown, t: number) => {
      const { kind } = tests[t]
      need(kind === "swaps" ? places[part] : kind === "redoes" || reads.length)
      need(new Set(reads).size === reads.length && !(tries < 1))
    })
    at = "graph.nodes"
    const into: number[] = nodes.map(() => 0)
    const edgesOf = (node: Unknown) => (node.do === "test" ? node.edges : [])
    for (const node of nodes) {
      const { kind } = tests[node.test] ?? {}
      need(node.do !== "verdict" || node.remedy.kind === "done" || places[node.remedy.place])
      need(node.do !== "test" || !node.putBack || kind === "swaps")
      for (const { to, cells } of edgesOf(node)) {
        into[to]!++
        const { reads } = model.tests[node.test]
        need(
          kind === "swaps" || kind === "redoes"
            ? cells === "gone" || cells === "stays"
            : cells.length === reads.length &&
                reads.every((reading: number, i: number) => areCells([cells[i]], reading)),
        )
      }
    }
    // Kahn 1962: a node is free once all edges into it have been walked; in a cycle none ever is.
    const free = [...into.keys()].filter((n) => !into[n])
    for (const n of free) for (const { to } of edgesOf(nodes[n])) if (!--into[to]!) free.push(to)
    need(free.length === nodes.length)
  } catch {
    throw new RunError(`This graph cannot be run: \`${at}\` is missing or wrong. Compile the ruleset again.`)
  }
  return graph
}
