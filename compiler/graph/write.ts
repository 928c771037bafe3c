import type { Cell, Grid, Model, Picture, Pictured, Place, Reading, Test } from "../model/model.ts"
import { waitingCost } from "../model/repairs.ts"
import type { Expected, Plan } from "../plan/plan.ts"
import type {
  Graph,
  GraphCell,
  GraphExpected,
  GraphPicture,
  GraphPlace,
  GraphReading,
  GraphTest,
} from "../run/graph.ts"
import type { NodeIndex } from "../run/indexes.ts"
import { cellIndexes, writeModel } from "./model.ts"
import { writeNodes } from "./nodes.ts"
import { derived } from "./text.ts"

/** A graph lists the node that a job begins at first. */
const START = 0 as NodeIndex

/** What a graph says of its own making. */
export interface Origin {
  /** `sha256:…` over the source files. */
  readonly source: string
  readonly compiler: string
}

/** A plan as the document that runners take (`ruleout-graph/2`); the same model, plan and origin give the same document. */
export function writeGraph(model: Model, plan: Plan, origin: Origin): Graph {
  const {
    name,
    title,
    version,
    language,
    money,
    bench,
    waiting,
    comeback,
    handover,
    trust,
    second,
    unlisted,
  } = model.ruleset
  return {
    format: "ruleout-graph/2",
    ruleset: { name, title, version, ...(language && { language }), ...origin },
    money,
    bench,
    waiting,
    comeback,
    handover,
    trust,
    second,
    unlisted,
    complaint: { name: model.complaint.name, text: model.complaint.text },
    places: model.places.map(writePlace),
    faults: model.faults.map((f) => ({
      name: f.name,
      label: f.label,
      place: f.place,
      odds: f.odds,
      ...(f.remedy === undefined ? {} : { remedy: f.remedy }),
      ...pictured(f),
    })),
    readings: model.readings.map(writeReading),
    tests: model.tests.map((t) => writeTest(model, t)),
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
    ...(model.pictures ? { pictures: model.pictures.map(writePicture) } : {}),
    start: START,
    nodes: writeNodes(plan),
    expected: writeExpected(plan.expected),
    proof: { exact: plan.exact, lower: derived(plan.lower) },
    model: writeModel(model),
    ...(model.languages && { languages: model.languages }),
  }
}

function writePlace(place: Place): GraphPlace {
  return {
    name: place.name,
    label: place.label,
    kind: place.kind,
    ...(place.kind === "part" ? { price: place.price, spare: place.spare } : {}),
    ...(place.of === undefined ? {} : { of: place.of }),
    ...(place.behind.length === 0 ? {} : { behind: place.behind }),
    ...pictured(place),
  }
}

function writePicture({ bytes: _, ...picture }: Picture): GraphPicture {
  return picture
}

function pictured({ pictures }: Pictured): Pictured {
  return pictures ? { pictures } : {}
}

function writeTest(model: Model, test: Test): GraphTest {
  return {
    name: test.name,
    instruction: test.instruction,
    kind: test.kind,
    minutes: test.minutes,
    ...(test.waits === 0 ? {} : { waits: test.waits }),
    cost: test.cost + waitingCost(model, test.waits),
    needs: test.needs,
    cautions: test.cautions,
    ...(test.power === undefined ? {} : { power: test.power }),
    ...(test.after.length === 0 ? {} : { after: test.after }),
    ...(test.afterAny.length === 0 ? {} : { afterAny: test.afterAny }),
    ...pictured(test),
  }
}

function writeExpected(expected: Expected): GraphExpected {
  const figures = Object.entries(expected).map(([name, value]) => [name, derived(value)])
  return Object.fromEntries(figures) as GraphExpected
}

function writeValue({ label, value }: Cell): GraphCell {
  return { label, values: value === undefined ? [] : [value] }
}

function writeRun(grid: Grid, { label, first, last }: Cell): GraphCell {
  if (first === undefined || last === undefined) throw new Error(`Cell \`${label}\` has no range`)
  return { label, from: gridValue(grid, first), to: gridValue(grid, last) }
}

function writeReading(reading: Reading): GraphReading {
  const { name, question, told, grid } = reading
  if (!grid) {
    return { name, question, told, cells: reading.cells.map(writeValue), ...pictured(reading) }
  }
  const cells = reading.cells.map((cell) => writeRun(grid, cell))
  const { unit, from, to, by } = grid
  return { name, question, told, unit, from, to, by, ...reading.worked, cells, ...pictured(reading) }
}

/** Value of a grid index, free of the digits that repeated addition leaves. */
function gridValue({ from, by }: Grid, index: number): number {
  return derived(from + index * by)
}
