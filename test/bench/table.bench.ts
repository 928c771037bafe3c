import { graphWithoutPlan } from "../../compiler/cases/fit/fit.ts"
import { type Batch, entriesOf } from "../../compiler/cases/table/batch.ts"
import { CsvRows } from "../../compiler/cases/table/csv-rows.ts"
import { type ColumnMapping, columnMapping } from "../../compiler/cases/table/read-row.ts"
import type { Graph, Recorded, RecordedStep } from "../../compiler/run/index.ts"
import { jobs, till, WHOLE_TILL } from "../cases/till.ts"
import { cpuSeconds, times } from "./time.ts"

export const title = "Reading 20,000 cases as lines of JSON and as a table (goal: at most three times)"

const HEADER = "id,fault,second fault,confirmed,moved,click,force (N),again,align,try_lock,put back lock"

export function run(print: (line: string) => void): void {
  const { model } = till(WHOLE_TILL)
  const graph = graphWithoutPlan(model)
  const lines = jobs(model, 20_000, 3)
  const table = [HEADER, ...lines.map((line) => rowOf(JSON.parse(line) as Recorded))].join("\n")
  const json: Batch = { kind: "lines", text: `${lines.join("\n")}\n`, from: 1, offset: 0 }
  const least = (work: () => number) =>
    Math.min(
      ...Array.from({ length: 5 }, () => {
        const from = cpuSeconds()
        if (work() !== lines.length) throw new Error("Not all cases were read.")
        return cpuSeconds() - from
      }),
    )
  const asLines = least(() => readable(json, graph))
  const asTable = least(() => {
    const rows = new CsvRows()
    const [header = [], ...all] = [...rows.push(table), ...rows.end()]
    return readable({ kind: "rows", rows: all, from: 2 }, graph, columnMapping(header, graph))
  })
  print(
    `lines ${asLines.toFixed(2)} s, table ${asTable.toFixed(2)} s of processor: ${times(asTable, asLines)}`,
  )
}

function readable(batch: Batch, graph: Graph, mapping?: ColumnMapping): number {
  let cases = 0
  for (const entry of entriesOf(batch, graph, { file: "bench", ...(mapping ? { mapping } : {}) }))
    if (entry.case) cases++
  return cases
}

function rowOf({ id, faults = [], confirmed, told, steps }: Recorded): string {
  const found = (is: (step: RecordedStep) => boolean) => {
    const value = steps.find(is)?.found ?? ""
    return typeof value === "string" ? value : String(Object.values(value)[0]).replace(" N", "")
  }
  const tests = ["hear", "pull", "again", "align", "try_lock"].map((name) =>
    found((step) => "test" in step && step.test === name),
  )
  const back = found((step) => "putBack" in step)
  return [id, faults[0], faults[1] ?? "", confirmed, told.moved, ...tests, back].join(",")
}
