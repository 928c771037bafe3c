/** What a job costs under a plan, part by part, and how far the plan is proved. */
import type { Graph, GraphExpected } from "../../run/graph.ts"
import { fixedMoney, fixedPercent, grouped } from "../../wording/figures.ts"
import { plain, type Style } from "../io/terminal.ts"

export interface PlanFigures extends Pick<Graph, "ruleset" | "money" | "expected"> {
  /** `gap`: what a better plan could save at most, as a share of the total. */
  readonly proof: Graph["proof"] & { readonly gap: number }
  /** What a job costs more than it would if the fault were known; `gap`: the same saving as a share of that. */
  readonly notKnowing: { readonly price: number; readonly gap: number }
  readonly nodes: number
  readonly bytes: number
}

/** `bytes`: of the graph as it is written. */
export function planFigures({ ruleset, money, expected, proof, nodes }: Graph, bytes: number): PlanFigures {
  const price = expected.total - expected.unavoidable
  const saving = proof.exact ? 0 : expected.total - proof.lower
  const share = (of: number) => (saving > 0 && of > 0 ? Math.min(1, saving / of) : 0)
  return {
    ruleset,
    money,
    expected,
    proof: { ...proof, gap: share(expected.total) },
    notKnowing: { price, gap: share(price) },
    nodes: nodes.length,
    bytes,
  }
}

export function planFiguresText(figures: PlanFigures, target: string | undefined, paint: Style): string {
  const { ruleset, money, expected, notKnowing, nodes, bytes } = figures
  const rows: [string, string][] = [
    ["expected cost", fixedMoney(expected.total, money)],
    ...costRows(expected, money),
    ["unavoidable, if the fault were known", fixedMoney(expected.unavoidable, money)],
    ["price of not knowing", fixedMoney(notKnowing.price, money)],
    ["minutes of work", expected.minutes.toFixed(1)],
    ["steps", expected.steps.toFixed(1)],
    ["comes back", fixedPercent(expected.comesBack)],
    ["handed over", fixedPercent(expected.handedOver)],
    ["parts bought in vain", fixedMoney(expected.wasted, money)],
    ["nodes", grouped(nodes)],
    ["size", `${grouped(bytes)} bytes`],
  ]
  const names = Math.max(...rows.map(([name]) => name.length))
  const values = Math.max(...rows.map(([, value]) => value.length))
  return [
    paint.bold(`${ruleset.title} (${ruleset.name} ${ruleset.version}), per job:`),
    ...rows.map(([name, value]) => plain(`  ${name.padEnd(names)}  ${value.padStart(values)}`)),
    proofText(figures, paint),
    ...(target === undefined ? [] : [`Written to ${plain(target)}`]),
    "",
  ].join("\n")
}

/** The parts of the total that there are. */
function costRows(expected: GraphExpected, currency: string): [string, string][] {
  const parts: [string, number][] = [
    ["tests", expected.tests],
    ["parts", expected.parts],
    ["fitting and fixing", expected.repairs],
    ["proof run", expected.proof],
    ["waiting", expected.waiting],
    ["machines that come back", expected.comebacks],
    ["handing over", expected.handover],
  ]
  return parts.flatMap(([name, amount]): [string, string][] =>
    amount >= 0.005 ? [[`  ${name}`, fixedMoney(amount, currency)]] : [],
  )
}

function proofText({ proof, notKnowing, money }: PlanFigures, paint: Style): string {
  if (proof.exact) return paint.good("Proved: no plan costs less.")
  return paint.warn(
    `Not proved optimal: no plan costs less than ${fixedMoney(proof.lower, money)}. A better plan could save at most ${fixedPercent(proof.gap)} of the total, ${fixedPercent(notKnowing.gap)} of the price of not knowing. More --effort narrows the gap.`,
  )
}
