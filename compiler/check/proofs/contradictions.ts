import type { Context } from "../context.ts"
import { type Findings, holds, readingsOf } from "../logic/formula.ts"
import { smallestHittingSet } from "../logic/hitting-set.ts"
import { type FewestFindings, fewestFindings, MOST_COUNTED } from "../logic/witnesses.ts"
import { opposedPairs } from "./opposed-rules.ts"

export interface Contradiction {
  /** Findings that can occur and rule out every fault, as few as can be. */
  readonly findings: Findings
  /** The eliminations that do it, by index, as few as can be on so few findings. */
  readonly by: readonly number[]
  readonly smallest: boolean
}

/** More witnesses than this are not looked for in one run: the first ones, once fixed, mostly take the others along. */
const WITNESSES = 3

/**
 * Findings that leave no fault. Asked as one question over all faults at once: is there, for each fault, an elimination
 * that can act together with those of the others? Where not, the core of the answer is a handful of faults of which one
 * always stays, and as long as nothing that speaks of these is placesChanged the next run needs no proof.
 *
 * Pairs of opposed rules are left to `opposed-rules`, which says more about them.
 */
export function contradictions(context: Context): Contradiction[] {
  const { space, eliminations, against, proofs } = context
  if (!context.possible || against.some((list) => list.length === 0)) return []
  const known = proofs.hint<readonly string[]>("survivors")
  if (known !== undefined && stillStands(context, known)) return []

  const readings = readingsOf(...eliminations.map((each) => each.formula))
  const acts = eliminations.map(({ formula }) => space.holds(formula))
  const nodes = against.map((list) => space.some(list.map((i) => acts[i]!)))
  const found: Contradiction[] = []
  const barred: number[] = []
  for (const { leaves, against: other } of context.once(opposedPairs)) {
    barred.push(
      space.some([space.fails(eliminations[leaves]!.formula), space.fails(eliminations[other]!.formula)]),
    )
  }
  const leavesNone = (findings: Findings): boolean => {
    const acting = eliminations.map((each) => holds(each.formula, findings))
    return against.every((list) => list.some((i) => acting[i]))
  }
  while (found.length < WITNESSES) {
    const all = [...nodes, ...barred]
    const witness = fewestFindings(space, all, readings, leavesNone, context.effort, acts)
    if (witness === undefined) break
    const least = fewestRules(context, witness, all, acts)
    found.push(least)
    barred.push(space.some(least.by.map((i) => space.fails(eliminations[i]!.formula))))
  }
  if (found.length === 0) remember(context, nodes)
  return found
}

/** Of all findings that are as few as those given, some on which the fewest eliminations do it. */
function fewestRules(
  { space, eliminations, against, effort }: Context,
  first: FewestFindings,
  nodes: readonly number[],
  acts: readonly number[],
): Contradiction {
  const doing = (findings: Findings) =>
    smallestHittingSet(against.map((list) => list.filter((i) => holds(eliminations[i]!.formula, findings))))
  const readings = readingsOf(...eliminations.map((each) => each.formula))
  const until = space.solver.conflicts + effort
  let { findings } = first
  let by = doing(findings)
  let smallest = first.smallest && by.proved && by.elements.length <= MOST_COUNTED
  if (!smallest) return { findings, by: by.elements, smallest }
  const read = findings.filter((cell) => cell >= 0).length
  const few = space.readCounter(readings, read + 1)(read)
  const acting = space.counter(acts, by.elements.length)
  while (smallest) {
    const budget = Math.max(1, until - space.solver.conflicts)
    const fewer = acting(by.elements.length - 1)
    const answer = space.ask([...nodes, few, fewer], readings, budget, acts)
    if (answer === "no") break
    if (answer === "yes") {
      findings = space.findings(readings)
      by = doing(findings)
    }
    smallest = answer === "yes" && by.proved
  }
  return { findings, by: by.elements, smallest }
}

/** The core of the last answer, as faults, under the content of all that speaks of them. */
function remember(context: Context, nodes: readonly number[]): void {
  const { model, proofs, space } = context
  proofs.made++
  const faults = space.solver.core.filter((i) => i < nodes.length).map((i) => model.faults[i]!.name)
  // A core that leans on barred pairs of opposed rules says nothing by itself.
  if (space.solver.core.some((i) => i >= nodes.length)) return
  proofs.keep("survivors", faults)
  proofs.keep("survivors of", contentOf(context, faults))
}

function stillStands(context: Context, faults: readonly string[]): boolean {
  const { proofs } = context
  const content = contentOf(context, faults)
  if (content === undefined || proofs.hint("survivors of") !== content) return false
  proofs.reused++
  proofs.keep("survivors", faults)
  proofs.keep("survivors of", content)
  return true
}

function contentOf(context: Context, names: readonly string[]): string | undefined {
  const { model, against, eliminations } = context
  const lines: string[] = []
  for (const name of names) {
    const fault = model.faults.findIndex((each) => each.name === name)
    if (fault < 0) return undefined
    lines.push(context.keys.of(...against[fault]!.map((i) => eliminations[i]!.formula)))
  }
  return lines.join("\n")
}
