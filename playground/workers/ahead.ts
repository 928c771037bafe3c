import { isSharedLink } from "../share/link.ts"
import PlanWorker from "./plan.worker.ts?worker"

/**
 * Whoever comes by a link waits for its plan. This file is a script of its own, before the page: what plans is fetched
 * while the page still is.
 */
let ahead = isSharedLink(location.hash) ? new PlanWorker() : undefined

/** A worker that plans: the one that is on its way, if one is. */
export function planWorker(): Worker {
  const worker = ahead ?? new PlanWorker()
  ahead = undefined
  return worker
}
