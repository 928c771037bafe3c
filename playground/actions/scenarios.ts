import { computed, effect, signal } from "@preact/signals"
import { newJob } from "../bench/saved-job.ts"
import type { Compiled } from "../state/plan-state.ts"
import { compiled, project } from "../state/state.ts"
import { CallWorker } from "../workers/rpc.ts"
import type { functions, PlayedScenario } from "../workers/scenarios.worker.ts"
import ScenariosWorker from "../workers/scenarios.worker.ts?worker"
import { jobs } from "./bench.ts"
import { go } from "./navigate.ts"

export type ScenariosState =
  | { readonly kind: "none" }
  | { readonly kind: "playing" }
  | { readonly kind: "failed" }
  | { readonly kind: "done"; readonly of: Compiled; readonly played: readonly PlayedScenario[] }

export const scenariosState = signal<ScenariosState>({ kind: "none" })

export const hasScenarios = computed(() =>
  Object.values(project.value.files).some((text) => /^[ \t]*scenario\b/m.test(text)),
)

const playing = new CallWorker<typeof functions>(() => new ScenariosWorker())

/** Plays the scenarios as soon as there is a plan, and again with each new one; returns what ends that. */
export function playScenarios(): () => void {
  return effect(() => {
    const made = compiled.value
    const state = scenariosState.peek()
    if (made && !(state.kind === "done" && state.of === made)) void play(made)
  })
}

/** A new round ends the old one. */
async function play(made: Compiled): Promise<void> {
  scenariosState.value = { kind: "playing" }
  try {
    const played = await playing.call((remote) => remote.play(made.project, made.text))
    if (played) scenariosState.value = { kind: "done", of: made, played }
  } catch {
    scenariosState.value = { kind: "failed" }
  }
}

/** A new job at the bench, with all that a scenario does and finds. */
export function openAtBench({ graph }: Compiled, { steps }: PlayedScenario, number: number): void {
  jobs.beginWith(graph, { ...newJob(graph, `scenario-${number}`), steps })
  go("bench")
}
