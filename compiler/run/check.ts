import { RunError } from "./error.ts"
import type { Graph } from "./graph.ts"

/**
 * The shape of a graph: `field:type`, `?` where the field may be missing, `*` for a list, `#list` for an index into that
 * list of the graph, words with `|` of which one is wanted. What depends on two fields together is checked below.
 */
const shapes: Record<string, string> = {
  graph:
    "comeback:amount handover:amount trust:chance complaint:named places:place* faults:fault* readings:reading* tests:test* rules:rule* proofs:proof* start:#nodes nodes:node* model:model",
  named: "name:text",
  place: "name:text label:text kind:part|setup price?:amount of?:#places behind?:#places*",
  fault: "name:text label:text place:#places odds:amount remedy?:text",
  reading: "name:text question:text told:flag unit?:text from?:number to?:number by?:amount cells:cell*",
  cell: "label:text values?:text* from?:number to?:number",
  test: "name:text instruction:text kind:reads|swaps|redoes|told minutes:amount cost:amount needs:text* cautions:text* power?:on|off after?:#tests*",
  rule: "name?:text because?:text line:amount",
  proof: "text:text times:amount minutes:amount places?:#places*",
  node: "do:test|verdict|handover|advise",
  action: "test:#tests edges:edge*",
  edge: "to:#nodes chance:chance rulesOut:#faults* because:#rules*",
  verdict: "remedy:remedy proofs:#proofs*",
  remedy: "kind:replace|redo|done place?:#places",
  handover: "candidates:candidate*",
  candidate: "fault:#faults chance:chance",
  model: "healthy:chance** recurs:chance* shows:list** tests:meaning* rules:mask* nevers:condition*",
  meaning: "reads?:#readings* part?:#places redoes?:list* tries?:amount onlyIf?:condition",
  mask: "when:condition out:#faults*",
}

/** Conditions nested deeper than this are refused, so that none can exhaust the stack. */
const deepest = 200
/** Greater numbers are refused, so that no sum or product of them leaves what a double holds. */
const greatest = 1e12

// biome-ignore lint/suspicious/noExplicitAny: this file is where data of unknown shape becomes a Graph
type Unknown = any

const isNumber = (value: Unknown) => typeof value === "number" && Math.abs(value) <= greatest
const plain = new Map<string, (value: Unknown) => boolean>([
  ["text", (value) => typeof value === "string"],
  ["flag", (value) => typeof value === "boolean"],
  ["list", Array.isArray],
  ["number", isNumber],
  ["amount", (value) => isNumber(value) && value >= 0],
  ["chance", (value) => isNumber(value) && value >= 0 && value <= 1],
])

/**
 * Checks that `value` is a graph which can be run: format, lists, every index, every number; nodes without a cycle.
 * Time and stack stay in proportion to the size of the document.
 *
 * @throws RunError naming the first place that is wrong.
 */
export function checkGraph(graph: Unknown): Graph {
  const need = (good: unknown, at: string) => {
    if (!good)
      throw new RunError(
        `This graph cannot be run: \`${at}\` is missing or wrong. Compile the ruleset again.`,
      )
  }
  const indexes = (list: Unknown, of: Unknown[], at: string) => {
    is(list, "amount*", at)
    need(
      list.every((index: number) => of[index]),
      at,
    )
  }
  const is = (value: Unknown, type: string, at: string): void => {
    const fields = shapes[type]
    if (fields) {
      need(value && typeof value === "object", at)
      for (const field of fields.split(" ")) {
        const [key, wanted] = field.split(/\??:/) as [string, string]
        if (value[key] !== undefined || !field.includes("?")) is(value[key], wanted, `${at}.${key}`)
      }
    } else if (type.endsWith("*")) {
      need(Array.isArray(value), at)
      value.forEach((item: Unknown, i: number) => {
        is(item, type.slice(0, -1), `${at}[${i}]`)
      })
    } else if (type[0] === "#") need(isNumber(value) && graph[type.slice(1)]?.[value], at)
    else if (type === "condition") condition(value, at)
    else need(plain.get(type)?.(value) ?? type.split("|").includes(value), at)
  }
  const condition = (value: Unknown, at: string, depth = 0): void => {
    need(Array.isArray(value) && depth < deepest, at)
    const [kind, ...items] = value
    is(kind, "in|and|or|not", at)
    if (kind === "in") {
      is(items[0], "#readings", at)
      indexes(items[1], graph.readings[items[0]].cells, at)
    } else {
      need(kind !== "not" || items.length === 1, at)
      items.forEach((item: Unknown) => {
        condition(item, at, depth + 1)
      })
    }
  }
  const spread = (value: Unknown, reading: number, at: string) => {
    is(reading, "#readings", at)
    is(value, "chance*", at)
    need(value.length === graph.readings[reading].cells.length, at)
  }

  need(graph?.format === "ruleout-graph/1", "format")
  is(graph, "graph", "graph")
  const { readings, tests, nodes, model, places, faults, proofs, rules } = graph
  for (const [key, list] of Object.entries({
    healthy: readings,
    recurs: faults,
    shows: faults,
    tests,
    rules,
  }))
    need(model[key].length === list.length, `graph.model.${key}`)
  model.healthy.forEach((chances: Unknown, r: number) => {
    spread(chances, r, "graph.model.healthy")
  })
  for (const [reading, chances] of model.shows.flat()) spread(chances, reading, "graph.model.shows")
  model.tests.forEach(({ reads = [], part, redoes = [], tries }: Unknown, t: number) => {
    const at = `graph.model.tests[${t}]`
    const { kind } = tests[t]
    need(kind === "swaps" ? places[part] : kind === "redoes" || reads.length, at)
    need(new Set(reads).size === reads.length && !(tries < 1), at)
    for (const [setup, cures] of redoes) {
      is(setup, "#places", at)
      is(cures, "chance", at)
    }
  })
  for (const { expects } of proofs)
    if (expects) {
      is(expects.reading, "#readings", "graph.proofs")
      indexes(expects.cells, readings[expects.reading].cells, "graph.proofs")
    }

  const into: number[] = nodes.map(() => 0)
  nodes.forEach((node: Unknown, n: number) => {
    const at = `graph.nodes[${n}]`
    if (node.do === "test") {
      is(node, "action", at)
      const { kind } = tests[node.test]
      const { reads } = model.tests[node.test]
      need(!node.putBack || kind === "swaps", at)
      for (const { to, cells } of node.edges) {
        into[to]!++
        if (kind === "swaps" || kind === "redoes") is(cells, "gone|stays", at)
        else {
          need(cells?.length === reads.length, at)
          reads.forEach((reading: number, i: number) => {
            indexes([cells[i]], readings[reading].cells, at)
          })
        }
      }
    } else if (shapes[node.do]) is(node, node.do, at)
    if (node.do === "verdict") need(node.remedy.kind === "done" || places[node.remedy.place], at)
  })
  // Kahn 1962: a node is free once all edges into it have been walked; in a cycle none ever is.
  const free = [...into.keys()].filter((n) => !into[n])
  for (const n of free)
    for (const { to } of nodes[n].do === "test" ? nodes[n].edges : []) if (!--into[to]!) free.push(to)
  need(free.length === nodes.length, "nodes")
  return graph
}
