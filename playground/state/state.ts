import { computed, signal } from "@preact/signals"
import type { Diagnostic, Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Compiled, PlanState } from "./plan-state.ts"
import type { Project } from "./project.ts"

/**
 * All state that more than one view shares. The views read signals; what changes them lives in `actions/`. What is kept
 * over a reload goes through `store.ts`.
 */

export const STATIONS = ["write", "graph", "bench", "cases", "ship"] as const
/** What the stage shows: one of the stations of the work, in their order, or the help. */
export type Station = (typeof STATIONS)[number] | "help"

export type Theme = "auto" | "light" | "dark"

export interface Notice {
  readonly text: string
  readonly bad: boolean
  readonly action?: { readonly label: string; readonly run: () => void }
}

export const station = signal<Station>("write")
/** What the help was asked for, a new value each time it is asked; empty for its beginning, or a page's. */
export const helpAt = signal({ page: "", section: "" })
export const theme = signal<Theme>("auto")
/** True where the page shows dark colours, whatever the reason. */
export const dark = signal(false)
export const notice = signal<Notice | undefined>(undefined)

export const project = signal<Project>({ root: "new.ruleout", files: { "new.ruleout": "" } })
export const isEmpty = computed(() => Object.values(project.value.files).every((text) => text.trim() === ""))
/** Counts every change of any file; a result for an older version is never shown. */
export const version = signal(0)
/** Counts the projects that were opened, as against changes of one. */
export const projectsOpened = signal(0)
export const activeFile = signal("new.ruleout")
export const savedAt = signal<Date | undefined>(undefined)

/** From reading and binding the text: there at once after a keystroke. */
export const quickDiagnostics = signal<readonly Diagnostic[]>([])
/** From the analysis, with the text that it speaks of; out of date until the next analysis ends. */
export const deepDiagnostics = signal<readonly Diagnostic[]>([])
/** Counts the rounds of the analysis, since its diagnostics also change when the text moves them. */
export const deepRound = signal(0)
export const planState = signal<PlanState>({ kind: "idle" })
/** The page did not survive the analysis of what it had open: nothing is analysed until the user asks. */
export const isHeld = signal(false)
/** The user has asked the search to stop; it does so at its next step. */
export const stopAsked = signal(false)
/** The last plan that was made; `compiled.version` tells whether it is of the text now shown. */
export const compiled = signal<Compiled | undefined>(undefined)

/** Where the caret is, for the graph to light the nodes of that line. */
export const caret = signal<{ readonly file: string; readonly offset: number } | undefined>(undefined)
/** The node chosen in the graph view. */
export const chosenNode = signal<number | undefined>(undefined)
/** A stretch that the editor is asked to show and select. */
export const reveal = signal<Span | undefined>(undefined)

/** The declaration that is being written; what is wrong with it waits until the caret leaves it. */
export const writing = signal<Span | undefined>(undefined)

function isWritten({ span, code }: Diagnostic): boolean {
  const at = writing.value
  if (at === undefined) return false
  // What the text doesn't have yet may be what is being written.
  if (code === "missing-declaration") return true
  return span.file === at.file && at.start <= span.start && span.start <= at.end
}

/** An empty page has not done anything wrong yet. */
export const diagnostics = computed(() =>
  isEmpty.value
    ? []
    : [...quickDiagnostics.value.filter((found) => !isWritten(found)), ...deepDiagnostics.value],
)
export const counts = computed(() => {
  const count = { error: 0, warning: 0, note: 0 }
  for (const found of diagnostics.value) count[found.severity] += 1
  return count
})

export function say(text: string, more: { bad?: boolean; action?: Notice["action"] } = {}): void {
  notice.value = {
    text,
    bad: more.bad ?? false,
    ...(more.action === undefined ? {} : { action: more.action }),
  }
}
