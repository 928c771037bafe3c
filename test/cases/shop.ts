import { type Analysis, analyse } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import { type Draw, seeded } from "../support/models.ts"

/** A till whose drawer stays shut: every kind of number that a fit can learn, and two `shows` that are hard. */
export const TILL = `# The till of a kiosk; all figures are invented.
ruleset till_shut "Till: drawer stays shut"
  bench 60 per hour

part lock  "drawer lock"  price 40 spare   # comes with its key
part board "till board"   price 90 spare
setup plug "plug of the lock"  of lock  redo cures 80%
setup rail "drawer rail"       redo cures 60%

complaint shut "the drawer stays shut"

fault lock_worn   "lock worn"          in lock   odds 6
  shows force between 5 and 9.9 N 70%
  shows force at least 10 N 20%
  shows moved is no
fault board_dead  "board gives no pulse" in board  odds 3
  shows click is no
fault plug_loose  "plug creeps out"    in plug   odds 8
  shows shut 60%    # comes and goes
  shows moved is yes 70%
  shows click is no 75%
fault rail_bent   "rail bent"          in rail   odds 4
  shows force at least 10 N 85%

told moved "Was the till moved?"  yes or no  trust 80%
reading click "Does the lock click?"  yes or no
  normally is yes 95%
reading force "Force that opens it by hand" in N from 0 to 30 by 0.1
  normally below 5 N 90%

test hear  "Listen to the lock"          reads click  takes 1 min
test pull  "Pull with the spring scale"  reads force  takes 2 min
test again "Plug it in again"            redoes plug  takes 3 min  tries 2
test align "Align the rail"              redoes rail 50%  takes 9 min
test try_lock "Fit the known-good lock"  swaps lock   takes 12 min

when force below 5 N rule out rail_bent
  because "a bent rail drags"
`

export function till(text = TILL): Analysis & { readonly model: Model } {
  const analysis = analyse("till.ruleout", () => text)
  if (!analysis.model) throw new Error(analysis.diagnostics.map(({ message }) => message).join("\n"))
  return { ...analysis, model: analysis.model }
}

/** Jobs that do every step, in one order; each outcome is drawn as the semantics have it for the fault that was drawn. */
export function jobs(model: Model, count: number, seed: number): string[] {
  const draw = seeded(seed)
  return Array.from({ length: count }, (_, n) => JSON.stringify(job(model, draw, `J-${n + 1}`)))
}

const happens = (draw: Draw, chance: number) => draw.int(0, 999_999) < chance * 1e6

function pick(draw: Draw, weights: ArrayLike<number>): number {
  const all = Array.from(weights).reduce((sum, each) => sum + each, 0)
  let rest = (draw.int(0, 999_999) / 1e6) * all
  let at = 0
  while (at < weights.length - 1 && rest >= weights[at]!) rest -= weights[at++]!
  return at
}

function job(model: Model, draw: Draw, id: string) {
  const fault = pick(
    draw,
    model.faults.map(({ odds }) => odds),
  )
  const { place, recurs, chances } = model.faults[fault]!
  let cured = false
  let fitted = false
  const value = (reading: number, active: boolean) => {
    const { healthy, cells, grid } = model.readings[reading]!
    const cell = cells[pick(draw, (active ? chances[reading] : undefined) ?? healthy)]!
    return cell.value ?? `${grid!.from + grid!.by * draw.int(cell.first!, cell.last!)} ${grid!.unit}`
  }
  const told: Record<string, string> = {}
  const steps: object[] = []
  const active = () => !cured && !fitted
  const look = (test: number, putBack: boolean) => {
    const { redoes, tries, part } = model.tests[test]!
    const cure = redoes.find(({ setup }) => setup === place)?.cures ?? 0
    if (!cured && happens(draw, cure)) cured = true
    const before = fitted
    if (part === place) fitted = !putBack
    const found = active() && happens(draw, 1 - (1 - recurs) ** tries) ? "stays" : "gone"
    if (found === "stays" && !putBack) fitted = before
    return found
  }
  model.tests.forEach(({ name, kind, reads, part }, test) => {
    if (kind === "told") told[model.readings[reads[0]!]!.name] = value(reads[0]!, true)
    else if (kind === "reads")
      steps.push({ test: name, found: { [model.readings[reads[0]!]!.name]: value(reads[0]!, active()) } })
    else {
      const found = look(test, false)
      steps.push({ test: name, found })
      if (part !== undefined && found === "gone")
        steps.push({ putBack: model.places[part]!.name, found: look(test, true) })
    }
  })
  return { id, told, steps, fault: model.faults[fault]!.name }
}
