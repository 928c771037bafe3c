import { describe, expect, test } from "vitest"
import { bind } from "../../compiler/model/bind.ts"
import { type Act, open, type Session } from "../../compiler/run/index.ts"
import type { FaultIndex, PlaceIndex } from "../../compiler/run/indexes.ts"
import { cautionsOf, toolsOf } from "../../compiler/run/work.ts"
import { nodeFacts } from "../../compiler/ship/labels.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { english } from "../../compiler/wording/words.ts"
import { graphOf } from "../support/graphs.ts"

const TEXT = `ruleset lift_stuck "Lift: does not go" bench 60 per hour comeback costs 200 handover costs 90
complaint stuck "it does not go"
part pump "pump" price 80 spare  fit after any of look_oil, ask_oil
part valve "valve" price 20
setup ram "ram, bled" redo cures 50%
setup hose "hose, tight"
fault pump_dead "pump dead" in pump odds 2  shows oil is low 60%
fault valve_stuck "valve stuck" in valve odds 2  fix takes 5 min  fix after look_oil  fix only if propped is yes
fault ram_airy "air in the ram" in ram odds 3  fix only if propped is yes
fault hose_loose "hose loose" in hose odds 3
reading oil "Oil?" yes or no  reading propped "Is it propped?" yes or no
test look_oil "Look at the oil" reads oil takes 1 min
test ask_oil "Look again" reads oil takes 2 min
test look_prop "Set the prop and look" reads propped takes 2 min
test bleed "Bleed the ram" redoes ram takes 4 min power off needs "bleeding key" needs "gloves"
  only if propped is yes
  caution "Keep out from under it." caution "Oil under pressure."
test tighten "Tighten the hose" redoes hose takes 3 min needs "spanner"
  caution "Oil under pressure." caution "Oil under pressure."
test try_pump "Fit the known-good pump" swaps pump takes 9 min needs "hoist"
  caution "Two people."
`

const { tree } = parse("lift.ruleout", TEXT.replace("shows oil is low 60%", "shows oil is no 60%"))
const { model, diagnostics } = bind([tree])
const graph = graphOf(model!)
const fault = (name: string) => graph.faults.findIndex((each) => each.name === name) as FaultIndex
const part = (name: string) => graph.places.findIndex((each) => each.name === name) as PlaceIndex
const repairs = (session: Session) =>
  session.steps.flatMap(({ act }): Act[] => ("fix" in act || "replace" in act ? [act] : []))

test("the ruleset is sound", () => {
  expect(diagnostics).toEqual([])
})

describe("what must be done or known before a repair", () => {
  const start = open(graph)

  test("holds it back, and nothing else", () => {
    expect(repairs(start)).toEqual([{ replace: "valve" }, { fix: "hose_loose" }])
  })

  test("opens it when all is met", () => {
    const looked = start.find({ test: "ask_oil" }, "yes")
    expect(repairs(looked)).toContainEqual({ replace: "pump" })
    const propped = looked.find({ test: "look_prop" }, "yes")
    expect(repairs(propped)).toContainEqual({ fix: "ram_airy" })
    expect(repairs(propped)).not.toContainEqual({ fix: "valve_stuck" })
    expect(repairs(propped.find({ test: "look_oil" }, "yes"))).toContainEqual({ fix: "valve_stuck" })
  })

  test("shuts it again by the last finding, and is no bar to what has been done", () => {
    const down = start.find({ test: "look_prop" }, "yes").find({ test: "look_prop" }, "no")
    expect(repairs(down)).not.toContainEqual({ fix: "ram_airy" })
    expect(down.find({ fix: "ram_airy" }, "gone").log).toHaveLength(3)
  })

  test("is what the advice goes by: known false, it reckons with no such repair", () => {
    let session = start
    for (let steps = 0; session.next.do !== "end" && steps < 30; steps++) {
      const { next } = session
      if (next.do === "handover") break
      if (next.do === "fix") expect(next.act).not.toEqual({ fix: "ram_airy" })
      const found = next.do === "close" ? "fails" : next.outcomes.at(-1)!.found
      session = session.answer("reads" in next && next.reads.length > 0 ? next.reads.map(() => 1) : found)
    }
    expect(["handover", "end"]).toContain(session.next.do)
  })
})

describe("a repair", () => {
  test("that takes a test's work shows its tools, and each caution of the work on that place once", () => {
    const steps = open(graph).find({ test: "look_prop" }, "yes").find({ test: "look_oil" }, "yes").steps
    const step = (act: Act) => steps.find((each) => JSON.stringify(each.act) === JSON.stringify(act))!
    expect(step({ fix: "ram_airy" })).toMatchObject({
      needs: ["bleeding key", "gloves"],
      cautions: ["Keep out from under it.", "Oil under pressure."],
      minutes: 8,
    })
    expect(step({ fix: "hose_loose" })).toMatchObject({
      needs: ["spanner"],
      cautions: ["Oil under pressure."],
    })
    expect(step({ replace: "pump" })).toMatchObject({ needs: ["hoist"], cautions: ["Two people."] })
    expect(step({ fix: "valve_stuck" })).toMatchObject({ needs: [], cautions: [], minutes: 5 })
    expect(step({ test: "tighten" })).toMatchObject({ needs: ["spanner"], cautions: ["Oil under pressure."] })
  })

  test("shows the same where no job is open, and on paper", () => {
    const fix = { do: "fix", fault: fault("ram_airy"), cost: 0, costToGo: 0, edges: [] } as const
    expect(toolsOf(graph, fix)).toEqual(["bleeding key", "gloves"])
    expect(cautionsOf(graph, fix)).toEqual(["Keep out from under it.", "Oil under pressure."])
    expect(nodeFacts(graph, fix, english)).toEqual(["8 min", "needs bleeding key and gloves"])
    const keep = { do: "keep", part: part("pump") } as const
    expect([cautionsOf(graph, keep), toolsOf(graph, keep)]).toEqual([[], []])
    expect(cautionsOf(graph, { do: "putBack", part: part("pump") })).toEqual(["Two people."])
  })

  test("of an older graph, which doesn't say whose work it is, waits for nothing and needs nothing", () => {
    const plain = ({ minutes, cost, waits }: { minutes: number; cost: number; waits: number }) => ({
      minutes,
      cost,
      waits,
    })
    const { fix, replace } = graph.model
    const works = {
      fix: fix.map((work) => work && plain(work)),
      replace: replace.map((work) => work && plain(work)),
    }
    const old = open({ ...graph, model: { ...graph.model, ...works } })
    expect(repairs(old)).toHaveLength(5)
    for (const step of old.steps) if (step.do === "fix") expect(step.needs).toEqual([])
  })
})

test.each([
  ["fix", 2, { onlyIf: ["in", 9, [0]] }],
  ["fix", 2, { after: [99] }],
  ["fix", 2, { afterAny: 1 }],
  ["fix", 2, { test: "bleed" }],
  ["replace", 0, { after: [-1] }],
])("a graph whose %s %i says %j is refused", (kind, index, wrong) => {
  const works = kind === "fix" ? [...graph.model.fix] : [...graph.model.replace]
  works[index] = { ...works[index]!, ...(wrong as object) }
  const broken = { ...graph, model: { ...graph.model, [kind]: works } }
  expect(() => open(broken as typeof graph)).toThrow(
    `graph.model.${kind}[${index}].${Object.keys(wrong as object)[0]}`,
  )
})
