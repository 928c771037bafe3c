import type { Context } from "./context.ts"
import { type Fewest, fewest } from "./logic/fewest.ts"
import { holds, NEVER, readingsOf, restricted } from "./logic/formula.ts"
import { Space } from "./logic/space.ts"

export interface IdleRule {
  readonly rule: number
  /** Eliminations, by index, that do all that the rule does. */
  readonly by: readonly number[]
  readonly smallest: boolean
  /** Can go together with all other spare ones: of two rules that say the same, only one is spare. */
  readonly spare: boolean
}

/**
 * Rules that never rule out anything by themselves. A rule acts as soon as its condition is known true, so the question
 * ranges over partial findings, and only over such as read what the rule itself needs: any further reading could only
 * help the others.
 */
export function idleRules(context: Context): IdleRule[] {
  if (!context.possible) return []
  const { model, memory } = context
  const found: IdleRule[] = []
  for (const [rule, { out }] of model.rules.entries()) {
    if (context.unreachable[rule]) continue
    if (out.length === 0) {
      found.push({ rule, by: [], smallest: true, spare: true })
      continue
    }
    const rivals = rivalsOf(context, rule)
    if (rivals === undefined) continue
    const idle = memory.proof(keyOf(context, rule, rivals), () => covers(context, rule, rivals))
    if (idle !== undefined) {
      found.push({ rule, by: idle.elements.map((i) => rivals[i]!), smallest: idle.smallest, spare: false })
    }
  }
  return markSpare(context, found)
}

/** The other eliminations that can act on what the rule reads; undefined where one of its faults has none. */
function rivalsOf({ model, eliminations, against }: Context, rule: number): number[] | undefined {
  const own = new Set(readingsOf(eliminations[rule]!.formula))
  const able = new Map<number, boolean>()
  const rivals = new Set<number>()
  for (const fault of model.rules[rule]!.out) {
    let any = false
    for (const i of against[fault]!) {
      if (i === rule) continue
      let acts = able.get(i)
      if (acts === undefined) {
        acts = restricted(eliminations[i]!.formula, (reading) => own.has(reading)) !== NEVER
        able.set(i, acts)
      }
      if (!acts) continue
      any = true
      rivals.add(i)
    }
    if (!any) return undefined
  }
  return [...rivals].sort((a, b) => a - b)
}

function keyOf(context: Context, rule: number, rivals: readonly number[]): string {
  const { formula } = context.eliminations[rule]!
  const out = context.model.rules[rule]!.out
  const others = rivals.map((i) => {
    const rival = context.eliminations[i]!
    const shared = new Set(rival.out)
    return `${context.content(rival.formula)}>${out.flatMap((fault, k) => (shared.has(fault) ? [k] : [])).join(",")}`
  })
  return `idle ${context.content(formula)} ${out.length} ${others.join(" ")} ${context.bound(readingsOf(formula))}`
}

/** The fewest rivals (by place) that do all that the rule does; undefined where they do not, all together. */
function covers(context: Context, rule: number, rivals: readonly number[]): Fewest | undefined {
  const { model, eliminations } = context
  const { out } = model.rules[rule]!
  const ask = (space: Space, chosen: readonly number[], budget?: number) => {
    const escapes = out.map((fault) =>
      space.every(
        chosen
          .filter((i) => eliminations[i]!.out.includes(fault))
          .map((i) => space.fails(eliminations[i]!.formula)),
      ),
    )
    const { formula } = eliminations[rule]!
    return space.ask([space.holds(formula), space.some(escapes)], readingsOf(formula), [], budget)
  }
  if (ask(context.space, rivals) === "yes") return undefined
  const space = new Space(model)
  const until = space.solver.conflicts + context.effort
  const readings = readingsOf(eliminations[rule]!.formula)
  return fewest([...rivals.keys()], (elements) => {
    const chosen = [...elements].map((i) => rivals[i]!)
    const answer = ask(space, chosen, Math.max(1, until - space.solver.conflicts))
    if (answer !== "yes") return answer === "no" ? "enough" : "unknown"
    const findings = space.findings(readings)
    const acting = (i: number, fault: number) =>
      eliminations[i]!.out.includes(fault) && holds(eliminations[i]!.formula, findings)
    const left = out.find((fault) => !chosen.some((i) => acting(i, fault)))!
    return [...rivals.keys()].filter((i) => acting(rivals[i]!, left))
  })
}

/** Goes backwards, so that of rules that make each other idle the first one stays. */
function markSpare(context: Context, found: readonly IdleRule[]): IdleRule[] {
  const gone = new Set<number>()
  const spare = new Set<number>()
  for (const { rule, by } of [...found].reverse()) {
    const left = by.every((i) => !gone.has(i)) ? by : rivalsOf(context, rule)?.filter((i) => !gone.has(i))
    if (left === undefined || (left !== by && covers(context, rule, left) === undefined)) continue
    gone.add(rule)
    spare.add(rule)
  }
  return found.map((idle) => ({ ...idle, spare: spare.has(idle.rule) }))
}
