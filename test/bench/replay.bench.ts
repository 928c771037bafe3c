import { join } from "node:path"
import type { Case } from "../../compiler/cases/record/case.ts"
import { readCases } from "../../compiler/cases/record/read.ts"
import { indexGraph } from "../../compiler/cases/replay/graph-index.ts"
import { type Walk, Walker } from "../../compiler/cases/replay/walk.ts"
import type { Batch } from "../../compiler/cases/table/batch.ts"
import { sourceReader } from "../../compiler/cli/io/compile-file.ts"
import { replayBatches } from "../../compiler/cli/io/worker-pool.ts"
import { compile } from "../../compiler/compile.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { drawCases } from "../../rulesets/draw-cases.ts"
import { readModel } from "../../rulesets/read-model.ts"
import { cascadeOf } from "./cascade.ts"
import { median, times } from "./time.ts"

export const title = "Replaying recorded cases of the flagship"

const source = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture.ruleout")
const all = 1_000_000
const distinct = 10_000

export async function run(print: (line: string) => void): Promise<void> {
  const { graph } = compile(source, sourceReader(source))
  if (!graph) throw new Error("The flagship does not compile.")
  const lines = drawCases(readModel(source), distinct, 99).cases.map((each) => JSON.stringify(each))
  const records = [...readCases(lines.join("\n"), graph)].flatMap(({ case: record }) => record ?? [])
  againstCascade(graph, records, print)
  await million(graph, lines, print)
}

/** Parsed cases, walked: by the graph, and by the cascade. */
function againstCascade(graph: Graph, all: readonly Case[], print: (line: string) => void): void {
  const walker = new Walker(indexGraph(graph))
  const cascade = cascadeOf(graph)
  // Where the graph leaves off, the runner plans on from the model: no cascade does that.
  const planned = all.filter((record) => !walker.walk(record, false).advised)
  const records = planned.length
  const forAll = (work: (record: Case) => unknown) => {
    for (const record of planned) work(record)
  }
  const walked = median(() => forAll((record) => walker.walk(record, false)), 7)
  const tried = median(() => forAll(cascade), 7)
  let alike = 0
  for (const record of planned) if (endsAlike(graph, walker.walk(record, false), cascade(record))) alike++
  print(
    `${records.toLocaleString("en")} of ${all.length.toLocaleString("en")} parsed cases walked at ${rate(records, walked)}; an \`if\` cascade at ${rate(records, tried)}: ` +
      `${times(walked, tried)} its time (goal at most 3); ${((100 * alike) / records).toFixed(1)} % end alike`,
  )
}

function endsAlike(graph: Graph, { ending }: Walk, node: number): boolean {
  const there = graph.nodes[node]
  if (there === undefined) return node === -1 ? ending.kind === "open" : ending.kind === "handover"
  return there.do === "close" ? ending.kind === "closed" : ending.kind === "handover" || there.do === "advise"
}

/** Lines of JSON as from a file: read, walked, counted. Memory is looked at on the way. */
async function million(graph: Graph, lines: readonly string[], print: (line: string) => void): Promise<void> {
  const heap: number[] = []
  async function* batches(): AsyncGenerator<Batch> {
    const step = 1000
    for (let from = 0; from < all; from += step) {
      const start = from % lines.length
      yield {
        kind: "lines",
        text: `${lines.slice(start, start + step).join("\n")}\n`,
        from: from + 1,
        offset: 0,
      }
      if (from % (all / 10) === 0) heap.push(process.memoryUsage().rss)
    }
  }
  const began = performance.now()
  let cases = 0
  const tally = await replayBatches(
    batches(),
    { graph, source: { file: "bench" }, rows: false },
    1,
    (walked) => {
      cases += walked.cases
    },
  )
  const took = performance.now() - began
  const mib = heap.map((bytes) => Math.round(bytes / 1024 / 1024))
  const { fixed, open } = tally.report().endings
  print(
    `${cases.toLocaleString("en")} lines read, walked and counted at ${rate(cases, took)}; ${fixed.count} fixed, ${open.count} open`,
  )
  print(`memory on the way (MiB): ${mib.join(", ")}`)
}

function rate(cases: number, ms: number): string {
  return `${Math.round((1000 * cases) / ms).toLocaleString("en")} cases/s`
}
