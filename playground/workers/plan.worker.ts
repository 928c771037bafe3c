import { graphText, startCompile } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Span } from "../../compiler/syntax/finding.ts"
import type { Sources } from "../graph/sources.ts"
import type { Job, Told } from "./plan.ts"

/** Analysis, plan and graph of one text. Between strides of the search the worker listens whether it is to stop. */
const stride = 250
/** States that a plan in the playground may cost: about a minute; what is left is said as a gap. */
const effort = 400_000
const mostNodes = 20_000

const tell = (told: Told | { readonly kind: "end" }) => self.postMessage(told)
const listen = () => new Promise<void>((done) => setTimeout(done, 0))
let stopping = false

self.addEventListener("message", ({ data }: MessageEvent<{ run: Job } | { stop: true }>) => {
  if ("stop" in data) stopping = true
  // Rethrown outside of the promise, where the page hears of it.
  else
    run(data.run).catch((error: unknown) =>
      setTimeout(() => {
        throw error
      }),
    )
})

async function run({ version, project }: Job): Promise<void> {
  stopping = false
  const compiling = startCompile(project.root, (path) => project.files[path], { effort })
  const { model, findings } = compiling
  tell({ kind: "findings", version, findings: findings })
  let progress = compiling.progress
  if (!model || !progress) {
    tell({ kind: "state", version, state: { kind: "blocked" } })
    return tell({ kind: "end" })
  }
  let told = 0
  while (!progress.done && !stopping) {
    progress = compiling.advance(stride)!
    if (performance.now() - told < 100) continue
    told = performance.now()
    tell({ kind: "state", version, state: { kind: "planning", progress } })
    await listen()
  }
  const { graph, findings: all } = compiling.finish()
  if (graph && graph.nodes.length <= mostNodes)
    tell({
      kind: "compiled",
      compiled: { version, project, graph, text: graphText(graph), sources: sourcesOf(model) },
    })
  tell({ kind: "findings", version, findings: all })
  tell({ kind: "state", version, state: { kind: stopping ? "stopped" : "ready", progress } })
  tell({ kind: "end" })
}

function sourcesOf(model: Model): Sources {
  const spans = (list: readonly { readonly span: Span }[]) => list.map(({ span }) => span)
  return {
    tests: spans(model.tests),
    rules: spans(model.rules),
    faults: spans(model.faults),
    readings: spans(model.readings),
    places: spans(model.places),
    proofs: spans(model.proofs),
  }
}
