import { type Action, actionKey, type StepAction } from "./action.ts"
import { actionIn } from "./course.ts"
import type { GraphNode, GraphStep } from "./graph.ts"
import type { Machine } from "./machine.ts"
import type { Entry, Found } from "./session-types.ts"
import { testOf } from "./work.ts"

/** A finding of the log, with the number of actions before it that read nothing. */
interface Placed {
  readonly action: Action
  readonly found: Found
  readonly leftIn: boolean
  readonly changes: number
}

/**
 * The node of the graph that a log leads to, or undefined where it isn't one of the graph's paths. What was told may have
 * come at any time, what was read in any order between the same two other actions, since neither changes the machine;
 * the others have to come in the path's order.
 */
export function nodeReached(m: Machine, log: readonly Entry[]): GraphNode | undefined {
  const left = placed(m, log)
  if (left === undefined) return undefined
  let changes = 0
  let node: GraphNode | undefined = m.nodes[m.start]
  while (node && left.length > 0) {
    if (node.do === "handover" || node.do === "advise") return undefined
    const at = matching(m, node, left, changes)
    if (at < 0) return undefined
    const [{ found, leftIn }] = left.splice(at, 1) as [Placed]
    if (typeof found === "string") changes++
    node = nextNode(m, node, found, leftIn)
  }
  return node
}

/** Undefined where the log is that of a second job, which no graph plans. */
function placed(m: Machine, log: readonly Entry[]): Placed[] | undefined {
  const all: Placed[] = []
  let changes = 0
  for (const entry of log) {
    if ("cameBack" in entry) return undefined
    if ("cannot" in entry) continue
    const { found, leftIn = false } = entry
    all.push({ action: actionIn(m, entry), found, leftIn, changes })
    if (typeof found === "string") changes++
  }
  return all
}

function matching(m: Machine, node: GraphStep, left: readonly Placed[], changes: number): number {
  const told = testOf(m.tests, node)?.kind === "told"
  return left.findIndex(({ action, changes: then }) => (told || then === changes) && isStep(m, node, action))
}

/** Whether an action is what the node does; a reading found without a test stands for a test that reads only this one. */
export function isStep(m: Machine, node: GraphStep, action: Action): boolean {
  if (action.do !== "read") return actionKey(action) === actionKey(actionAt(node))
  const [reading, ...more] = testOf(m.tests, node)?.reads ?? []
  return reading === action.reading && more.length === 0
}

/** The action of a node. */
export function actionAt(node: GraphStep): StepAction {
  const { cost: _, costToGo: __, edges: ___, ...action } = node
  if (action.do === "close") return { do: "close" }
  return action.do === "test" ? { ...action, leaveIn: leavesIn(node) } : action
}

/** Where an outcome leads; of `stays` only if what stays in is what the edge says. */
export function nextNode(
  m: Machine,
  { edges }: GraphStep,
  found: Found,
  leftIn: boolean,
): GraphNode | undefined {
  const edge = edges.find(
    ({ on, leaveIn }) => String(on) === String(found) && (on !== "stays" || (leaveIn ?? false) === leftIn),
  )
  return edge?.to === undefined ? undefined : m.nodes[edge.to]
}

/** Whether the plan leaves the known-good parts in after `stays`. */
export function leavesIn({ edges }: GraphStep): boolean {
  return edges.some(({ leaveIn }) => leaveIn)
}
