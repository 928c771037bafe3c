import { ProofCache } from "../../compiler/check/proof-cache.ts"
import { type Compiled, graphText, startCompile } from "../../compiler/compile.ts"
import { explain } from "../../compiler/graph/explain.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Plan } from "../../compiler/plan/plan.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { at, lookUp } from "../../compiler/run/lookup.ts"
import { translationsIn } from "../../compiler/service/translations.ts"
import { type PictureBytes, pictureAddresses } from "../../compiler/ship/pictures.ts"
import { titleOfAction } from "../graph/labels.ts"
import { graphNodes } from "../graph/node-figures.ts"
import { sourcesOf } from "../graph/sources.ts"
import { type Alternative, MAX_NODES, type PlanState } from "../state/plan-state.ts"
import type { FromWorker, PlanRequest, ToWorker } from "./plan-messages.ts"

/**
 * Analysis, plan and graph of one text, with the same options as the command line, so that what ships from here is the
 * same to the byte. Between strides of the search the worker listens whether it is to stop.
 */
/** Milliseconds of one stride, after which the worker listens; and until a first graph is shown while the search goes on. */
const patience = { stride: 80, first: 100 }

const tell = (told: FromWorker) => self.postMessage(told)
const listen = () => new Promise<void>((done) => setTimeout(done, 0))
/** Proofs of the text before: typing touches few of them. */
const proofs = new ProofCache()
/** Somebody asked to stop: heard between two strides. */
let stopping = false

self.addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  if ("stop" in data) stopping = true
  // Rethrown outside of the promise, where the page hears of it.
  else
    run(data.run).catch((error: unknown) =>
      setTimeout(() => {
        throw error
      }),
    )
})

async function run({ version, project }: PlanRequest): Promise<void> {
  stopping = false
  const readPicture = (path: string) =>
    project.pictures?.[path] ?? (project.lacksPictures ? "left out" : undefined)
  const texts = translationsIn(Object.entries(project.files), project.root)
  const compiling = startCompile(project.root, (path) => project.files[path], { proofs, readPicture, texts })
  const { model, diagnostics } = compiling
  tell({ kind: "diagnostics", version, diagnostics })
  // Only now: making a planner for hundreds of faults takes a while of its own.
  let progress = compiling.progress
  if (!model || !progress) {
    tell({ kind: "state", version, state: { kind: "blocked" } })
    return tell({ kind: "end" })
  }
  const report = (state: PlanState) => tell({ kind: "state", version, state })
  const publish = ({ graph, plan }: Pick<Compiled, "graph" | "plan">, final: boolean): number => {
    const nodes = graph?.nodes.length ?? 0
    if (!graph || !plan || nodes > MAX_NODES) return nodes
    const text = graphText(graph)
    const sources = sourcesOf(model)
    const written = graphNodes(graph, plan)
    const reasons = reasonsOf(graph, model, plan, written)
    const instead = insteadOf(graph, plan, written)
    const pictures = pictureAddresses(graph, bytesIn(model))
    const shown = { sources, reasons, instead }
    tell({ kind: "compiled", compiled: { version, final, project, text, pictures, ...shown } })
    return nodes
  }
  const began = performance.now()
  let shown = false
  let stride = 20
  while (!progress.done && !stopping) {
    const from = performance.now()
    progress = compiling.advance(Math.ceil(stride)) ?? progress
    const now = performance.now()
    stride = Math.min(5000, Math.max(1, (stride * patience.stride) / Math.max(1, now - from)))
    report({ kind: "planning", progress })
    if (!shown && now - began > patience.first) {
      shown = true
      publish(compiling.draft() ?? {}, false)
    }
    await listen()
  }
  report({ kind: "writing" })
  const made = compiling.finish()
  const nodes = publish(made, true)
  tell({ kind: "diagnostics", version, diagnostics: made.diagnostics })
  if (nodes > MAX_NODES) report({ kind: "large", nodes })
  else report({ kind: stopping ? "stopped" : "ready" })
  tell({ kind: "end" })
}

function bytesIn({ pictures }: Model): PictureBytes {
  const bytes = new Map(pictures?.map((each) => [each.digest, each.bytes]))
  return ({ digest }) => lookUp(bytes, digest)
}

/** Why each step of the graph is taken; of nodes that the graph merges, what is said of the one that most jobs come to. */
function reasonsOf(graph: Graph, model: Model, plan: Plan, written: Int32Array): (string | undefined)[] {
  const reasons: (string | undefined)[] = graph.nodes.map(() => undefined)
  for (const { node, text } of explain(model, plan, 0.0005)) reasons[at(written, node)] ??= text
  return reasons
}

/** The cheapest alternative at each step to which the search had one. */
function insteadOf(graph: Graph, plan: Plan, written: Int32Array): (Alternative | undefined)[] {
  const instead: (Alternative | undefined)[] = graph.nodes.map(() => undefined)
  for (const [i, node] of plan.nodes.entries()) {
    const target = at(written, i)
    if (target < 0 || !("second" in node) || !node.second) continue
    const { action, costToGo } = node.second
    instead[target] ??= { title: titleOfAction(graph, action), dearer: costToGo - node.costToGo }
  }
  return instead
}
