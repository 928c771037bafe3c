import type { Condition, Model } from "../../compiler/model/model.ts"
import type { Graph, GraphCondition } from "../../compiler/run/graph.ts"
import { nowhere } from "./sketch.ts"

/** The model that a graph was written from, as far as the semantics go, so that the reference can be asked about any graph. */
export function modelFrom(graph: Graph): Model {
  const { model } = graph
  const condition = (when: GraphCondition): Condition => {
    if (when[0] === "in") {
      const inside = when[2]
      const cells = graph.readings[when[1]]!.cells.map((_, cell) => inside.includes(cell))
      return { kind: "in", reading: when[1], cells, span: nowhere }
    }
    if (when[0] === "not") return { kind: "not", item: condition(when[1]), span: nowhere }
    const [kind, ...items] = when
    return { kind, items: items.map(condition), span: nowhere }
  }
  return {
    ruleset: { ...graph.ruleset, ...graph, span: nowhere },
    complaint: { ...graph.complaint, span: nowhere },
    places: graph.places.map((place) => ({
      price: 0,
      spare: true,
      ...place,
      behind: place.behind ?? [],
      cures: 1,
      span: nowhere,
    })),
    faults: graph.faults.map((fault, f) => ({
      ...fault,
      recurs: model.recurs[f]!,
      chances: graph.readings.map((_, reading) => {
        const own = model.shows[f]!.find(([r]) => r === reading)
        return own && Float64Array.from(own[1])
      }),
      shows: [],
      span: nowhere,
    })),
    readings: graph.readings.map((reading, r) => ({
      name: reading.name,
      question: reading.question,
      told: reading.told,
      trust: 1,
      cells: reading.cells.map(({ label }) => ({ label, weight: 1 })),
      healthy: Float64Array.from(model.healthy[r]!),
      span: nowhere,
    })),
    tests: graph.tests.map((test, t) => {
      const { reads, part, redoes, tries, onlyIf } = model.tests[t]!
      return {
        ...test,
        after: test.after ?? [],
        reads: reads ?? [],
        ...(part === undefined ? {} : { part }),
        redoes: (redoes ?? []).map(([setup, cures]) => ({ setup, cures, named: true })),
        tries: tries ?? 1,
        ...(onlyIf ? { onlyIf: condition(onlyIf) } : {}),
        costs: test.cost,
        risks: [],
        span: nowhere,
      }
    }),
    rules: model.rules.map(({ when, out }, r) => ({
      condition: condition(when),
      out,
      verb: "rule out" as const,
      line: graph.rules[r]!.line,
      span: nowhere,
    })),
    nevers: model.nevers.map((when) => ({ condition: condition(when), span: nowhere })),
    proofs: [],
  }
}
