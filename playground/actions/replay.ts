import { effect } from "@preact/signals"
import type { Comparison } from "../../compiler/cases/compare/compare.ts"
import { compiled } from "../state/state.ts"
import { storedValue } from "../state/store.ts"
import type { functions } from "../workers/replay.worker.ts"
import ReplayWorker from "../workers/replay.worker.ts?worker"
import { forward, LateWorker } from "../workers/rpc.ts"
import { casesState } from "./case-file.ts"

/** Started with the first replay, and ended to stop one. */
const worker = new LateWorker(() => new ReplayWorker())
/** What speaks to it. */
const remote = forward<typeof functions>(worker, (told) => {
  // Meanwhile other cases may have come, which nobody replays yet.
  if (casesState.peek().progress)
    casesState.value = { ...casesState.value, progress: told as { done: number; of: number } }
})
/** Counts replays, so that the answer to an older one is dropped. */
let round = 0

/** Walks all cases through the graph in a worker; a new round ends the old one. */
export async function replayAll(): Promise<void> {
  const made = compiled.value
  const { name, text, cases, tables } = casesState.value
  const given = { name, text, cases, tables }
  if (!made || cases === 0) return
  round += 1
  const mine = round
  const isWanted = () => mine === round && casesState.peek().text === text
  if (casesState.value.progress) worker.end()
  casesState.value = { ...given, progress: { done: 0, of: cases } }
  try {
    const { report, rows, diagnostics } = await remote.replay(made.text, text)
    if (!isWanted()) return
    casesState.value = { ...given, report, rows, diagnostics, graph: made.graph }
    const comparison = await againstShipped(made.text, text)
    if (isWanted() && comparison) casesState.value = { ...casesState.value, comparison }
  } catch {
    if (isWanted()) casesState.value = { ...given, failed: "These cases couldn't be replayed on this graph." }
  }
}

/** How the cases in these lines end on the graph, as a table (CSV). */
export function outcomesOf(lines: readonly number[]): Promise<string> {
  return remote.outcomes(lines)
}

/** The graph at hand against the one that was shipped last, where that has something to say of these cases. */
async function againstShipped(fresh: string, text: string): Promise<Comparison | undefined> {
  const old = await storedValue("shipped")
  if (typeof old !== "string" || old === fresh) return undefined
  // A graph of another ruleset, or of an older format, can't be compared.
  return remote.compare(old, fresh, text).catch(() => undefined)
}

/** Cases at hand are walked again as soon as there is a newer graph and somebody looks at them. */
export function replayWhenNeeded(): () => void {
  return effect(() => {
    const made = compiled.value
    const { cases, graph, progress, failed } = casesState.value
    if (!made || cases === 0 || progress || failed || graph === made.graph) return
    void replayAll()
  })
}
