import type { Model } from "../../compiler/model/model.ts"
import { makePlanner } from "../../compiler/plan/planner.ts"
import { seeded, sketchFrom, tiny } from "../support/models.ts"
import { evaluate, type Figures } from "../support/policies.ts"
import { unavoidable } from "../support/reference.ts"
import { type Solved, solve, solvedModels } from "../support/solved.ts"

export const title = "Plans of tiny models against trying every plan: greatest difference in money"

const SEEDED = 500
const DRAWN = 100

export function run(print: (line: string) => void): void {
  print(line(`${SEEDED} seeded`, solvedModels(SEEDED)))
  print(line(`${DRAWN} drawn`, drawn(DRAWN)))
}

/** Other ones in every run. */
function drawn(count: number): Omit<Solved, "seed">[] {
  const found: Omit<Solved, "seed">[] = []
  while (found.length < count) {
    const solved = solve(sketchFrom(seeded(Math.floor(Math.random() * 2 ** 31)), tiny))
    if (solved) found.push(solved)
  }
  return found
}

function line(name: string, models: readonly Omit<Solved, "seed">[]): string {
  let [total, figures, known] = [0, 0, 0]
  for (const { model, best } of models) {
    const { expected, nodes, start } = planned(model)
    total = Math.max(total, Math.abs(expected.total - best))
    const walked = evaluate(model, { nodes, start })
    for (const key of Object.keys(walked) as (keyof Figures)[])
      figures = Math.max(figures, Math.abs(walked[key] - expected[key]))
    known = Math.max(known, Math.abs(unavoidable(model) - expected.unavoidable))
  }
  const said = (value: number) => value.toExponential(1)
  return `${name}: total ${said(total)}, any figure ${said(figures)}, unavoidable ${said(known)}`
}

function planned(model: Model) {
  const planner = makePlanner(model, { gap: 0, mass: 0, effort: 1_000_000 })
  while (!planner.progress.done) planner.advance(1000)
  return planner.plan()
}
