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

/** What the figures of a plan are called; the weights that rules and nevers took have no name for technicians. */
export const figureNames: Readonly<Record<Exclude<keyof GraphExpected, "struck" | "forbidden">, string>> = {
  total: "expected cost",
  tests: "tests",
  parts: "parts",
  repairs: "fitting and fixing",
  proof: "proof run",
  comebacks: "machines that come back",
  handover: "handing over",
  waiting: "waiting",
  minutes: "minutes of work",
  steps: "steps",
  comesBack: "comes back",
  handedOver: "handed over",
  wasted: "parts bought in vain",
  unavoidable: "unavoidable, if the fault were known",
}

export const NOT_KNOWING = "price of not knowing"

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
    [figureNames.total, fixedMoney(expected.total, money)],
    ...costRows(expected, money),
    [figureNames.unavoidable, fixedMoney(expected.unavoidable, money)],
    [NOT_KNOWING, fixedMoney(notKnowing.price, money)],
    [figureNames.minutes, expected.minutes.toFixed(1)],
    [figureNames.steps, expected.steps.toFixed(1)],
    [figureNames.comesBack, fixedPercent(expected.comesBack)],
    [figureNames.handedOver, fixedPercent(expected.handedOver)],
    [figureNames.wasted, fixedMoney(expected.wasted, money)],
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
  const parts = ["tests", "parts", "repairs", "proof", "waiting", "comebacks", "handover"] as const
  return parts.flatMap((part): [string, string][] =>
    expected[part] >= 0.005 ? [[`  ${figureNames[part]}`, fixedMoney(expected[part], currency)]] : [],
  )
}

function proofText({ proof, notKnowing, money }: PlanFigures, paint: Style): string {
  if (proof.exact) return paint.good("Proved: no plan costs less.")
  return paint.warn(
    `Not proved optimal: no plan costs less than ${fixedMoney(proof.lower, money)}. A better plan could save at most ${fixedPercent(proof.gap)} of the total, ${fixedPercent(notKnowing.gap)} of the price of not knowing. More --effort narrows the gap.`,
  )
}
