import { Memory } from "../../compiler/check/memory.ts"
import { graphText, startCompile } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Span } from "../../compiler/syntax/finding.ts"
import type { Sources } from "../graph/sources.ts"
import type { Job, Told } from "./plan.ts"

/**
 * Analysis, plan and graph of one text, with the same options as the command line, so that what ships from here is the
 * same to the byte. Between strides of the search the worker listens whether it is to stop.
 */
/** Milliseconds of one stride, after which the worker listens; and until a first graph is shown while the search goes on. */
const patience = { stride: 80, first: 2500 }
const mostNodes = 20_000

const tell = (told: Told | { readonly kind: "end" }) => self.postMessage(told)
const listen = () => new Promise<void>((done) => setTimeout(done, 0))
/** Proofs of the text before: typing touches few of them. */
const memory = new Memory()
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
  const compiling = startCompile(project.root, (path) => project.files[path], { proofs: memory })
  const { model, findings } = compiling
  tell({ kind: "findings", version, findings })
  let progress = compiling.progress
  if (!model || !progress) {
    tell({ kind: "state", version, state: { kind: "blocked" } })
    return tell({ kind: "end" })
  }
  const publish = (final: boolean) => {
    const { graph, findings } = compiling.finish()
    if (!graph || graph.nodes.length > mostNodes) return
    const compiled = { version, final, project, graph, text: graphText(graph), sources: sourcesOf(model) }
    tell({ kind: "compiled", compiled })
    if (final) tell({ kind: "findings", version, findings })
  }
  const began = performance.now()
  let shown = false
  let stride = 20
  while (!progress.done && !stopping) {
    const from = performance.now()
    progress = compiling.advance(Math.ceil(stride))!
    const now = performance.now()
    stride = Math.min(5000, Math.max(1, (stride * patience.stride) / Math.max(1, now - from)))
    tell({ kind: "state", version, state: { kind: "planning", progress } })
    if (!shown && now - began > patience.first) {
      shown = true
      publish(false)
    }
    await listen()
  }
  publish(true)
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
