import { computed, signal } from "@preact/signals"
import { type Fit, USUAL_WEIGHT } from "../../compiler/cases/fit/fit.ts"
import { type NumberChange, patched } from "../../compiler/cases/fit/patch.ts"
import { setOf, unsupported } from "../../compiler/cases/fit/supported.ts"
import { lookUp } from "../../compiler/run/lookup.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import type { Project } from "../state/project.ts"
import { project, say } from "../state/state.ts"
import type { functions } from "../workers/fit.worker.ts"
import FitWorker from "../workers/fit.worker.ts?worker"
import { CallWorker } from "../workers/rpc.ts"
import { casesState } from "./case-file.ts"
import { changeFile, keepVersion } from "./text.ts"

export type FitState =
  | { readonly kind: "none" }
  | { readonly kind: "running" }
  | { readonly kind: "failed" }
  /** With the text and the cases that it was made from. */
  | { readonly kind: "done"; readonly fit: Fit; readonly project: Project; readonly cases: string }

export const fitState = signal<FitState>({ kind: "none" })
/** How many cases the author's numbers count as. */
export const fitWeight = signal(USUAL_WEIGHT)
/** The sets of numbers that are to stay as they are, by `setOf`. */
export const leftAlone = signal<ReadonlySet<string>>(new Set())

/** Whether the fit is of the text and the cases as they are now; undoing what came since makes it so again. */
export const isFresh = computed(() => {
  const state = fitState.value
  if (state.kind !== "done" || state.cases !== casesState.value.text) return false
  const [then, now] = [state.project.files, project.value.files]
  const names = Object.keys(now)
  return names.length === Object.keys(then).length && names.every((name) => then[name] === now[name])
})

const fitting = new CallWorker<typeof functions>(() => new FitWorker())

/** A new fit ends the old one. */
export async function runFit(): Promise<void> {
  const of = { project: project.value, cases: casesState.value.text }
  fitState.value = { kind: "running" }
  try {
    const fit = await fitting.call((remote) => remote.fit(of.project, of.cases, fitWeight.value))
    if (!fit) return
    leftAlone.value = new Set(unsupported(fit).map(setOf))
    fitState.value = { kind: "done", fit, ...of }
  } catch {
    fitState.value = { kind: "failed" }
  }
}

export function stopFit(): void {
  fitting.end()
  if (fitState.value.kind === "running") fitState.value = { kind: "none" }
}

/** Puts numbers into the text, of which the fit is; the editor takes each file over as one undoable step. */
export function putIn(changes: readonly NumberChange[]): void {
  const before = new Map(Object.entries(project.value.files))
  const after = patched(changes, before)
  void keepVersion("before fitting to cases")
  for (const [file, text] of after) changeFile(file, text)
  const isUntouched = () => [...after].every(([file, text]) => project.value.files[file] === text)
  const undo = () => {
    if (!isUntouched())
      return say("The text has changed since: the old one is under Ship, Earlier versions.", { bad: true })
    for (const file of after.keys()) changeFile(file, lookUp(before, file))
  }
  say(`Done: ${countOf(changes.length, "number")} changed.`, {
    action: { label: "Undo", run: undo },
  })
}
