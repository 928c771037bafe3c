import { expect, test } from "vitest"
import { open } from "../../compiler/run/index.ts"
import { graphOf } from "../support/graphs.ts"
import { modelOf } from "../support/sketch.ts"

/** A lamp with a fuse, a socket and a cable; two faults at once are not rare. */
const lampWith = (unlisted: number) =>
  graphOf(
    modelOf({
      comeback: 100,
      handover: 120,
      second: 0.1,
      unlisted,
      places: [
        { name: "fuse", kind: "part", price: 2 },
        { name: "socket", kind: "part", price: 15 },
        { name: "cable", kind: "setup" },
      ],
      faults: [
        { name: "blown", in: "fuse", odds: 5, shows: { fuse_ok: [0, 1] } },
        { name: "burnt", in: "socket", odds: 3, shows: { voltage: [0.1, 0.9] } },
        { name: "loose", in: "cable", odds: 4 },
      ],
      readings: [
        { name: "fuse_ok", cells: ["yes", "no"], healthy: [1, 0] },
        { name: "voltage", cells: ["yes", "no"], healthy: [0.95, 0.05] },
      ],
      tests: [
        { name: "meter_fuse", reads: ["fuse_ok"], minutes: 1 },
        { name: "meter_socket", reads: ["voltage"], minutes: 2 },
        { name: "plug_cable", redoes: ["cable"], minutes: 1 },
      ],
      proofs: [{ times: 3, minutes: 1 }],
    }),
  )

const lamp = lampWith(0.05)

test("a first repair doesn't hold, the second fault is found by reasoning about pairs, and the job closes", () => {
  let job = open(lampWith(0))
  const chance = (name: string) => job.candidates.find(({ info }) => info?.name === name)!.active
  job = job.find({ test: "meter_fuse" }, "no")
  expect(chance("blown")).toBe(1)
  expect(job.suspicions).toEqual([])
  job = job.find({ replace: "fuse" }, "stays")
  // The fuse was blown for sure and is new: another listed fault beside it, and nothing else fits.
  expect(job.next.do).not.toBe("handover")
  expect(job.suspicions).toMatchObject([{ of: "two faults", chance: 1, steps: [1, 0] }])
  expect(chance("blown")).toBe(0)
  expect(chance("burnt") + chance("loose")).toBeCloseTo(1, 12)
  expect(job.pairs.map(({ faults }) => faults)).toEqual([
    [0, 2],
    [0, 1],
  ])
  for (let turn = 0; job.next.do !== "end"; turn++) {
    const { next } = job
    expect(turn).toBeLessThan(6)
    if (next.do === "handover") throw new Error("handed over while a repair was open")
    // The hidden machine: a blown fuse and a burnt socket.
    const repaired = job.log.some(
      (entry) => "act" in entry && JSON.stringify(entry.act) === '{"replace":"socket"}',
    )
    const works = repaired || JSON.stringify(next.act) === '{"replace":"socket"}'
    const word = next.do === "close" ? (works ? "holds" : "fails") : works ? "gone" : "stays"
    job = job.answer(next.reads.length > 0 ? "no" : word)
  }
  expect(job.next).toMatchObject({ do: "end", closed: true })
  expect(job.standing.whole).toBeCloseTo(1, 12)
  expect(job.record({ id: "L-1" }).steps.at(-1)).toEqual({ close: true, found: "holds" })
})

test("a proof run that fails isn't the end", () => {
  const closing = open(lamp).find({ test: "plug_cable" }, "gone")
  expect(closing.steps.map(({ act }) => act)).toContainEqual({ close: true })
  const failed = closing.find({ close: true }, "fails")
  // Nothing that fits recurs only now and then: the run can't have failed.
  expect(failed.next).toMatchObject({ do: "handover", fits: false })
  if (failed.next.do !== "handover") throw new Error("no handover")
  expect(failed.next.atOdds.map(({ step }) => step)).toEqual([0, 1])
})

test("where nothing listed fits it is handed over, with the steps that speak for that", () => {
  const job = open(lamp)
    .find({ test: "meter_fuse" }, "yes")
    .find({ test: "plug_cable" }, "stays")
    .find({ replace: "socket" }, "stays")
  expect(job.candidates[0]).toMatchObject({ fault: undefined, present: 1 })
  expect(job.suspicions).toMatchObject([{ of: "not listed", chance: 1 }])
  expect([...job.suspicions[0]!.steps].sort()).toEqual([1, 2])
  expect(job.next).toMatchObject({ do: "handover", fits: true })
  expect(job.outlook).toMatchObject({ cost: 120, handedOver: 1 })
  expect(job.why("blown")).toMatchObject({ out: [{ step: 0, by: "reading" }], back: [0] })
  expect(job.why("burnt").out).toMatchObject([{ step: 2, by: "look", text: "the complaint would not stay" }])
  const ended = job.answer("done")
  expect(ended.next).toMatchObject({ do: "end", closed: false })
  expect(ended.record({ id: "L-2" }).steps.at(-1)).toEqual({ handOver: true, found: "done" })
})

test("a lead pushed home on the way: undecided between plug and lead until the old lead is put back", () => {
  const link = graphOf(
    modelOf({
      places: [
        { name: "lead", kind: "part", price: 9 },
        { name: "plug", kind: "setup", of: "lead" },
      ],
      faults: [
        { name: "broken", in: "lead", odds: 1, shows: { light: [0, 1] } },
        { name: "pulled", in: "plug", odds: 1, shows: { light: [0, 1] } },
      ],
      readings: [{ name: "light", cells: ["on", "off"], healthy: [1, 0] }],
      tests: [
        { name: "look_light", reads: ["light"] },
        { name: "try_lead", swaps: "lead", minutes: 2 },
      ],
      rules: [{ when: ["in", "light", [0]], out: ["broken", "pulled"] }],
    }),
  )
  const fitted = open(link)
    .find({ test: "look_light" }, "off")
    .find({ test: "try_lead" }, "gone")
    .find({ test: "look_light" }, "on")
  expect(fitted.candidates.map(({ present }) => present)).toEqual([0.5, 0.5, 0])
  const back = fitted.find({ putBack: "lead" }, "gone")
  expect(back.candidates.map(({ info, present }) => [info?.name, present])).toEqual([
    ["pulled", 1],
    ["broken", 0],
    [undefined, 0],
  ])
  expect(fitted.find({ putBack: "lead" }, "stays").candidates[0]).toMatchObject({
    info: { name: "broken" },
    active: 1,
  })
})
