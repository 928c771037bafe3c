import type { Signal } from "@preact/signals"
import type { RefObject } from "preact"
import { useEffect } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import { forward, LateWorker } from "../workers/rpc.ts"
import type { Picture } from "./canvas.tsx"
import { isStep, nodeOf, shortEdgeText } from "./labels.ts"
import type { LayoutInput } from "./layout.ts"
import type { functions } from "./layout.worker.ts"
import LayoutWorker from "./layout.worker.ts?worker"
import type { Visible } from "./visible.ts"

/** The worker that lays graphs out, started with the first. */
const layouts = forward<typeof functions>(new LateWorker(() => new LayoutWorker()))

/** Lays out what is shown, in a worker; a picture that comes late is dropped. */
export function useLayout(
  graph: Graph,
  shown: Visible,
  picture: Signal<Picture | undefined>,
  focus: RefObject<Picture["focus"]>,
): void {
  useEffect(() => {
    let late = false
    const input: LayoutInput = {
      nodes: shown.nodes,
      stubs: [...shown.folds.keys()],
      edges: shown.edges.map((edge) => {
        const node = nodeOf(graph, edge.from)
        const taken = isStep(node) ? node.edges[edge.edge] : undefined
        const text = isStep(node) && taken ? shortEdgeText(graph, node, taken) : ""
        return { from: edge.from, to: edge.to, labelWidth: 12 + 6.2 * Math.min(30, text.length) }
      }),
    }
    layouts.arrange(input).then((next) => {
      if (late) return
      picture.value = { visible: shown, layout: next, focus: focus.current }
      focus.current = undefined
    })
    return () => {
      late = true
    }
  }, [shown, graph, picture, focus])
}
