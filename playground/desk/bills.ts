import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import type { Graph } from "../../compiler/run/graph.ts"
import type { Session } from "../../compiler/run/index.ts"
import { type Bill, Bills } from "../../compiler/ship/sheets/bill.ts"
import type { OpenJob } from "../bench/open-job.ts"

/** What is worked out of a graph once for all of its bills. */
const known = new WeakMap<Graph, Bills>()

export function billsOf(graph: Graph): Bills {
  const bills = known.get(graph) ?? new Bills(graph)
  known.set(graph, bills)
  return bills
}

/** The bill of a job; undefined until the step at hand is drawn, which nobody is to wait for. */
export function useBill({ graph, session }: OpenJob): Bill | undefined {
  const now = session.value
  const made = useSignal<{ readonly of: Session; readonly bill: Bill } | undefined>(undefined)
  useEffect(() => {
    const timer = setTimeout(() => {
      made.value = { of: now, bill: billsOf(graph).of(now) }
    })
    return () => clearTimeout(timer)
  }, [graph, now, made])
  return made.value?.of === now ? made.value.bill : undefined
}
