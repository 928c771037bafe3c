import { type Analysis, analyse } from "../../compiler/compile.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { GraphAction } from "../../compiler/run/graph.ts"
import { type Bench, drawMachine, drawn, written } from "../support/hidden-machine.ts"
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

/** The same till with the words of the whole job, each of which a fit can learn. */
export const WHOLE_TILL = TILL.replace("# comes with its key", "")
  .replace("per hour\n", "per hour\n  second fault 12%\n  unlisted 6%\n")
  .replace('"lock worn"          in lock   odds 6', '"lock worn" in lock odds 6 eased by rail 40%')
  .replace("when force", "when click is yes rule out rail_bent 50%\n\nwhen force")

/** The same ruleset with other numbers, as an author who has not seen the cases might have guessed them. */
export const GUESSED_TILL = TILL.replace("odds 6", "odds 12")
  .replace("70%\n  shows force at least 10 N 20%", "50%\n  shows force at least 10 N 30%")
  .replace("shows shut 60%", "shows shut 85%")
  .replace("moved is yes 70%", "moved is yes 50%")
  .replace("click is no 75%", "click is no 50%")
  .replace("N 85%", "N 60%")
  .replace("trust 80%", "trust 60%")
  .replace("redo cures 80%", "redo cures 50%")
  .replace("rail 50%", "rail 80%")
  .replace("is yes 95%", "is yes 80%")
  .replace("below 5 N 90%", "below 5 N 80%")

/** The same of the words of the whole job. */
export const GUESSED_WHOLE_TILL = WHOLE_TILL.replace("second fault 12%", "second fault 4%")
  .replace("unlisted 6%", "unlisted 15%")
  .replace("eased by rail 40%", "eased by rail 80%")
  .replace("rail_bent 50%", "rail_bent 80%")
  .replace("below 5 N 90%", "below 5 N 80%")

/** The same till where much is nearly sure, or nearly never so. */
export const SURE_TILL = WHOLE_TILL.replace("second fault 12%", "second fault 3%")
  .replace("unlisted 6%", "unlisted 1%")
  .replace("70%\n  shows force at least 10 N 20%", "93%\n  shows force at least 10 N 5%")
  .replace("shows shut 60%", "shows shut 95%")
  .replace("moved is yes 70%", "moved is yes 97%")
  .replace("click is no 75%", "click is no 3%")
  .replace("N 85%", "N 98%")
  .replace("trust 80%", "trust 95%")
  .replace("redo cures 80%", "redo cures 97%")
  .replace("rail 50%", "rail 4%")
  .replace("is yes 95%", "is yes 99%")
  .replace("below 5 N 90%", "below 5 N 98%")
  .replace("eased by rail 40%", "eased by rail 5%")
  .replace("rail_bent 50%", "rail_bent 90%")

export function till(text = TILL): Analysis & { readonly model: Model } {
  const analysis = analyse("till.ruleout", () => text)
  if (!analysis.model) throw new Error(analysis.diagnostics.map(({ message }) => message).join("\n"))
  return { ...analysis, model: analysis.model }
}

/** Jobs that do every step, in one order; each outcome is drawn as the semantics have it for what was drawn to be wrong. */
export function jobs(model: Model, count: number, seed: number): string[] {
  const draw = seeded(seed)
  return Array.from({ length: count }, (_, n) => {
    for (;;) {
      const record = job(model, draw, `J-${n + 1}`)
      if (record) return JSON.stringify(record)
    }
  })
}

/** A value of a cell, as a technician would write it. */
function valueIn({ readings }: Model, reading: number, cell: number, draw: Draw): string {
  const { cells, grid } = readings[reading]!
  const { value, first, last } = cells[cell]!
  return value ?? `${grid!.from + grid!.by * draw.int(first!, last!)} ${grid!.unit}`
}

/** Undefined where rules leave nothing of the machine. */
function job(model: Model, draw: Draw, id: string): object | undefined {
  let machine = drawMachine(model, draw, written)
  let bench: Bench = { fitted: new Map(), findings: new Map(), touched: new Set() }
  const told: Record<string, string> = {}
  const steps: object[] = []
  const act = (action: GraphAction) => {
    const came = drawn(model, bench, machine, action, false, draw, written)
    if (!came) return undefined
    machine = came.machine
    bench = came.bench
    return came.on
  }
  for (const [test, { name, reads, parts }] of model.tests.entries()) {
    const on = act({ do: "test", test })
    if (on === undefined) return undefined
    if (typeof on === "string") steps.push({ test: name, found: on })
    else {
      const value = valueIn(model, reads[0]!, on[0]!, draw)
      const reading = model.readings[reads[0]!]!
      if (reading.told) told[reading.name] = value
      else steps.push({ test: name, found: { [reading.name]: value } })
    }
    for (const part of on === "gone" ? parts.filter((each) => bench.fitted.has(each)) : []) {
      const back = act({ do: "putBack", part })
      if (back === undefined) return undefined
      steps.push({ putBack: model.places[part]!.name, found: back })
    }
  }
  const faults = machine.faults.map((fault) => model.faults[fault]!.name)
  return { id, told, steps, faults: faults.length > 0 ? faults : ["unlisted"], confirmed: "soak" }
}
