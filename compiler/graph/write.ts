import type { Grid, Model, Reading } from "../model/model.ts"
import type { Plan } from "../plan/plan.ts"
import type { Graph, GraphCell, GraphPlace, GraphReading, GraphTest } from "../run/graph.ts"
import { cellIndexes, writeModel } from "./model.ts"
import { writeNodes } from "./nodes.ts"
import { derived } from "./text.ts"

/** What a graph says of its own making. */
export interface Origin {
  /** `sha256:…` over the source files. */
  readonly source: string
  readonly compiler: string
}

/** A plan as the document that runners take (`ruleout-graph/1`); the same model, plan and origin give the same document. */
export function writeGraph(model: Model, plan: Plan, origin: Origin): Graph {
  const { name, title, version, money, bench, comeback, handover, trust } = model.ruleset
  const { expected } = plan
  return {
    format: "ruleout-graph/1",
    ruleset: { name, title, version, ...origin },
    money,
    bench,
    comeback,
    handover,
    trust,
    complaint: { name: model.complaint.name, text: model.complaint.text },
    places: model.places.map(
      (p): GraphPlace => ({
        name: p.name,
        label: p.label,
        kind: p.kind,
        ...(p.kind === "part" ? { price: p.price, spare: p.spare } : {}),
        ...(p.of === undefined ? {} : { of: p.of }),
        ...(p.behind.length === 0 ? {} : { behind: p.behind }),
      }),
    ),
    faults: model.faults.map((f) => ({
      name: f.name,
      label: f.label,
      place: f.place,
      odds: f.odds,
      ...(f.remedy === undefined ? {} : { remedy: f.remedy }),
      ...(f.fixCosts === undefined ? {} : { fixCosts: f.fixCosts }),
      ...(f.fixTakes === undefined ? {} : { fixTakes: f.fixTakes }),
    })),
    readings: model.readings.map(writeReading),
    tests: model.tests.map(
      (t): GraphTest => ({
        name: t.name,
        instruction: t.instruction,
        kind: t.kind,
        minutes: t.minutes,
        cost: t.cost,
        needs: t.needs,
        cautions: t.cautions,
        ...(t.power === undefined ? {} : { power: t.power }),
        ...(t.after.length === 0 ? {} : { after: t.after }),
      }),
    ),
    rules: model.rules.map((r) => ({
      line: r.line,
      ...(r.name === undefined ? {} : { name: r.name }),
      ...(r.because === undefined ? {} : { because: r.because }),
    })),
    proofs: model.proofs.map((p) => ({
      text: p.text,
      times: p.times,
      minutes: p.minutes,
      ...(p.expects ? { expects: { reading: p.expects.reading, cells: cellIndexes(p.expects.cells) } } : {}),
      ...(p.places.length === 0 ? {} : { places: p.places }),
    })),
    start: 0,
    nodes: writeNodes(model, plan),
    expected: {
      total: derived(expected.total),
      tests: derived(expected.tests),
      minutes: derived(expected.minutes),
      steps: derived(expected.steps),
      wrong: derived(expected.wrong),
      handover: derived(expected.handover),
    },
    proof: { exact: plan.exact, lower: derived(plan.lower) },
    model: writeModel(model),
  }
}

function writeReading(reading: Reading): GraphReading {
  const { name, question, told, grid } = reading
  if (!grid) {
    return { name, question, told, cells: reading.cells.map((c) => ({ label: c.label, values: [c.value!] })) }
  }
  const cells = reading.cells.map(
    (c): GraphCell => ({ label: c.label, from: gridValue(grid, c.first!), to: gridValue(grid, c.last!) }),
  )
  return { name, question, told, unit: grid.unit, from: grid.from, to: grid.to, by: grid.by, cells }
}

/** Value of a grid index, free of the digits that repeated addition leaves. */
function gridValue({ from, by }: Grid, index: number): number {
  return derived(from + index * by)
}
