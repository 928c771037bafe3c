import { wordsOf } from "./acts.ts"
import type { ReadingIndex } from "./indexes.ts"
import { isAmount, isChance, isIndexIn, match, type Shape, ShapeError, type Unknown } from "./shape.ts"
import { testOf } from "./work.ts"

/** Every node does what can be done, with outcomes that it can have; no way leads back to where it came from. */
export function checkNodes(graph: Unknown): void {
  const shapes = nodeShapes(graph)
  graph.nodes.forEach((node: Unknown, n: number) => {
    const path = `graph.nodes[${n}]`
    const shape = Object.hasOwn(shapes, Object(node).do) ? shapes[node.do] : undefined
    if (!shape) throw new ShapeError(`${path}.do`)
    match(node, shape, path)
    ;(node.edges ?? []).forEach(({ on }: Unknown, e: number) => {
      if (!isOutcome(graph, node, on)) throw new ShapeError(`${path}.edges[${e}].on`)
    })
  })
  checkAcyclic(graph.nodes)
}

function nodeShapes({ places, faults, tests, rules, proofs, nodes, model }: Unknown): Record<string, Shape> {
  const fault = isIndexIn(faults)
  const steps: Shape = {
    cost: isAmount,
    costToGo: isAmount,
    edges: [
      {
        "to?": isIndexIn(nodes),
        chance: isChance,
        "leaveIn?": (value) => value === true,
        rulesOut: [fault],
        because: [isIndexIn(rules)],
      },
    ],
  }
  const part = (value: Unknown) => isIndexIn(places)(value) && places[value].kind === "part"
  const step = (fields: Shape): Shape => Object.assign({}, steps, fields)
  const onPart = step({ part })
  return {
    test: step({ test: isIndexIn(tests) }),
    takeOut: onPart,
    putBack: onPart,
    keep: onPart,
    replace: onPart,
    fix: step({ fault: (value) => fault(value) && model.fix[value] !== null }),
    look: step({}),
    close: step({ proofs: [isIndexIn(proofs)] }),
    handover: { candidates: [{ "fault?": fault, present: isChance, active: isChance }] },
    advise: { costToGo: isAmount },
  }
}

function isOutcome({ model, readings }: Unknown, node: Unknown, on: Unknown): boolean {
  const { reads = [] } = testOf<Unknown>(model.tests, node) ?? {}
  if (reads.length === 0) return wordsOf(node).includes(on)
  return (
    Array.isArray(on) &&
    on.length === reads.length &&
    reads.every((reading: ReadingIndex, i: number) => isIndexIn(readings[reading].cells)(on[i]))
  )
}

/** No plan has a longer path: none exhausts the stack of what walks it. */
const LONGEST_PATH = 2000

/** Takes away nodes that nothing leads to until none is left (A. B. Kahn 1962); what stays lies on a cycle. */
function checkAcyclic(nodes: Unknown): void {
  const leading = new Uint32Array(nodes.length)
  const steps = new Uint32Array(nodes.length)
  const targets = (node: Unknown): number[] =>
    (node.edges ?? []).flatMap(({ to }: Unknown) => (to === undefined ? [] : [to]))
  for (const node of nodes) for (const to of targets(node)) leading[to]!++
  const free: number[] = []
  leading.forEach((count, n) => {
    if (count === 0) free.push(n)
  })
  for (let n = free.pop(); n !== undefined; n = free.pop())
    for (const to of targets(nodes[n])) {
      steps[to] = Math.max(steps[to]!, steps[n]! + 1)
      if (--leading[to]! === 0) free.push(to)
    }
  const wrong = leading.findIndex((count, n) => count > 0 || steps[n]! > LONGEST_PATH)
  if (wrong >= 0) throw new ShapeError(`graph.nodes[${wrong}]`)
}
