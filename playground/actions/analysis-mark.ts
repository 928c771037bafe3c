import { effect } from "@preact/signals"
import { isHeld, planState } from "../state/state.ts"

/**
 * A mark in the browser's store, there only while a project is analysed. Where it is still there when the page opens, a
 * page did not survive its analysis, and what it had open isn't analysed again until somebody asks.
 */
const PLACE = "ruleout.analysing"

const isUnderWay = () => ["checking", "planning", "writing"].includes(planState.value.kind)

/** Before anything is analysed. */
export async function startMark(): Promise<void> {
  const own = `${PLACE} ${Date.now()} ${Math.random()}`
  try {
    const left = localStorage.getItem(PLACE)
    isHeld.value = left !== null && !(await isOpen(left))
  } catch {
    // A browser that keeps nothing brings nothing back.
    return
  }
  void navigator.locks?.request(own, () => new Promise(() => {}))
  effect(() => (isUnderWay() ? localStorage.setItem(PLACE, own) : clear(own)))
  addEventListener("pagehide", () => clear(own))
}

/** The mark of a page that was lost stays until it is analysed again. */
function clear(own: string): void {
  if (localStorage.getItem(PLACE) === own) localStorage.removeItem(PLACE)
}

/** A page that is open holds a lock by the name of its mark: what it is analysing has crashed nothing yet. */
async function isOpen(mark: string): Promise<boolean> {
  const { held = [] } = (await navigator.locks?.query()) ?? {}
  return held.some(({ name }) => name === mark)
}
