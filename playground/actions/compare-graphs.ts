import { computed, effect, signal } from "@preact/signals"
import { type Difference, differenceOf } from "../../compiler/graph/difference.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { whenOf } from "../ship/version-text.ts"
import type { Project } from "../state/project.ts"
import { compiled, projectsOpened, say } from "../state/state.ts"
import { storedValue, type Version, versions } from "../state/store.ts"
import type { PlanUpdate } from "../workers/plan-messages.ts"
import { PlanRunner } from "../workers/plan-runner.ts"
import { openFiles } from "./files.ts"

/** Another graph to hold the one at hand against: shipped, in a file, or planned anew from an earlier version. */
export interface Against {
  readonly label: string
  /** Undefined while it is being planned. */
  readonly graph: Graph | undefined
}

/** Plans the version compared with, apart from the planner of the text at hand. */
let runner: PlanRunner | undefined

export const against = signal<Against | undefined>(undefined)

export const difference = computed((): Difference | undefined => {
  const [old, fresh] = [against.value?.graph, compiled.value?.graph]
  return old && fresh && differenceOf(old, fresh)
})

/** Another ruleset has nothing to do with what this one was held against. */
effect(() => {
  projectsOpened.value
  stopComparing()
})

/** Something to compare with. */
export interface Candidate {
  readonly label: string
  readonly compare: () => void
}

const VERSIONS_OFFERED = 12

export async function candidates(): Promise<Candidate[]> {
  const shipped = await storedValue("shipped")
  const earlier = (await versions()).slice(0, VERSIONS_OFFERED)
  return [
    ...(typeof shipped === "string"
      ? [{ label: "the version shipped last", compare: () => set("the version shipped last", shipped) }]
      : []),
    ...earlier.map((version) => {
      const label = labelOf(version)
      return { label, compare: () => planFor(label, version.project) }
    }),
    { label: "a graph in a file…", compare: () => void openGraph() },
  ]
}

function labelOf(version: Version): string {
  const { title } = version
  return title === "" ? whenOf(version) : `${title}, ${whenOf(version)}`
}

export function stopComparing(): void {
  runner?.end()
  against.value = undefined
}

function set(label: string, text: string): void {
  try {
    const graph = JSON.parse(text) as Graph
    if (graph.format !== compiled.peek()?.graph.format) throw new SyntaxError("of another format")
    against.value = { label, graph }
  } catch {
    against.value = undefined
    say(`“${label}” isn't a decision graph that this page can read.`, { bad: true })
  }
}

async function openGraph(): Promise<void> {
  const [file] = (await openFiles([".graph.json"], false)) ?? []
  if (file) set(file.name, file.text)
}

/** In a worker beside the one that plans the text at hand; one after the other, and the last asked for counts. */
function planFor(label: string, project: Project): void {
  stopComparing()
  runner ??= new PlanRunner(heardOfPlan)
  against.value = { label, graph: undefined }
  runner.run({ version: 0, project })
}

function heardOfPlan(told: PlanUpdate): void {
  const label = against.peek()?.label
  if (label === undefined) return
  if (told.kind === "compiled" && told.compiled.final) {
    against.value = { label, graph: told.compiled.graph }
    runner?.end()
  }
  if (told.kind !== "state" || !["blocked", "failed", "large"].includes(told.state.kind)) return
  stopComparing()
  say(`“${label}” has no graph: it has errors, or its plan is too large for a page.`, { bad: true })
}
