import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import type { Compiled, PlanState } from "../state/plan-state.ts"
import type { Project } from "../state/project.ts"

/** What the page sends to the planning worker, and what the worker sends back. */

export interface PlanRequest {
  readonly version: number
  readonly project: Project
}

export type ToWorker = { readonly run: PlanRequest } | { readonly stop: true }

/** In order; each names the version it is of. */
export type PlanUpdate =
  | { readonly kind: "state"; readonly version: number; readonly state: PlanState }
  | {
      readonly kind: "diagnostics"
      readonly version: number
      readonly diagnostics: readonly Diagnostic[]
    }
  | { readonly kind: "compiled"; readonly compiled: Compiled }

/** The graph comes over as its document alone: parsing that takes a third of the time that copying the objects does. */
export type FromWorker =
  | Exclude<PlanUpdate, { kind: "compiled" }>
  | { readonly kind: "compiled"; readonly compiled: Omit<Compiled, "graph"> }
  | { readonly kind: "end" }
