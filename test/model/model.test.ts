import { describe, expect, test } from "vitest"
import { bind } from "../../compiler/model/bind.ts"
import type { CellSet, Model } from "../../compiler/model/model.ts"
import { parse } from "../../compiler/syntax/parser/parse.ts"
import { KIOSK_DARK } from "../support/kiosk.ts"

const modelOf = (text: string): Model => {
  const { tree, diagnostics } = parse("main.ruleout", text)
  expect(diagnostics).toEqual([])
  const bound = bind([tree], new Map([["main.ruleout", text]]))
  expect(bound.diagnostics).toEqual([])
  return bound.model!
}

const by = <T extends { readonly name?: string }>(list: readonly T[], name: string): T =>
  list.find((item) => item.name === name)!

const held = (model: Model, reading: string, cells: CellSet): string[] =>
  by(model.readings, reading)
    .cells.filter((_, i) => cells[i])
    .map(({ label }) => label)

const close = (actual: Iterable<number>, expected: readonly number[]): void => {
  const list = [...actual]
  expect(list).toHaveLength(expected.length)
  list.forEach((value, i) => {
    expect(value).toBeCloseTo(expected[i]!, 12)
  })
}

describe("the kiosk of the language page", () => {
  const model = modelOf(KIOSK_DARK)
  const index = (name: string): number => model.readings.findIndex((reading) => reading.name === name)

  test("the ruleset line and the complaint", () => {
    const { span: _, ...ruleset } = model.ruleset
    expect(ruleset).toEqual({
      name: "kiosk_dark",
      title: "Ticket kiosk: powered, screen dark",
      version: "1.2.0",
      money: "EUR",
      bench: 48,
      comeback: 90,
      handover: 150,
      waiting: 0,
      second: 0,
      unlisted: 0,
      hedged: false,
      trust: 0.9,
    })
    expect(model.complaint.name).toBe("dark")
  })

  test("places in the order of declaration", () => {
    expect(
      model.places.map(({ name, kind, price, spare, of, behind, cures }) => [
        name,
        kind,
        price,
        spare,
        of,
        behind,
        cures,
      ]),
    ).toEqual([
      ["supply", "part", 70, true, undefined, [], 1],
      ["panel", "part", 210, true, undefined, [], 1],
      ["driver", "part", 95, true, undefined, [4], 1],
      ["ribbon", "setup", 0, false, 1, [], 0.85],
      ["rear_cover", "setup", 0, false, undefined, [], 0.4],
    ])
  })

  // Thresholds 9 (below), 15 to 22.7, 22.8 to 25.2, all ends included, on 0 to 30 by 0.01:
  // 0–8.99, 9–14.99, 15–22.7, 22.71–22.79, 22.8–25.2, 25.21–30.
  test("the rail's cells", () => {
    const rail = by(model.readings, "rail")
    const { thresholds, ...grid } = rail.grid!
    expect(grid).toEqual({ unit: "V", from: 0, to: 30, by: 0.01, count: 3001 })
    // As written, in the order of reading: shows, normally, the rule, the never.
    expect(thresholds!.map(({ at, cut }) => [at, cut])).toEqual([
      [15, 1500],
      [22.7, 2271],
      [22.8, 2280],
      [25.2, 2521],
      [22.8, 2280],
      [25.2, 2521],
      [9, 900],
    ])
    expect(rail.cells).toEqual([
      { label: "below 9 V", weight: 900, first: 0, last: 899 },
      { label: "9 to 14.99 V", weight: 600, first: 900, last: 1499 },
      { label: "15 to 22.7 V", weight: 771, first: 1500, last: 2270 },
      { label: "22.71 to 22.79 V", weight: 9, first: 2271, last: 2279 },
      { label: "22.8 to 25.2 V", weight: 241, first: 2280, last: 2520 },
      { label: "above 25.2 V", weight: 480, first: 2521, last: 3000 },
    ])
    // 3 % on the 3001 − 241 = 2760 values outside.
    close(rail.healthy, [
      0.03 * (900 / 2760),
      0.03 * (600 / 2760),
      0.03 * (771 / 2760),
      0.03 * (9 / 2760),
      0.97,
      0.03 * (480 / 2760),
    ])
    expect(held(model, "rail", rail.normally!.cells)).toEqual(["22.8 to 25.2 V"])
  })

  test("what the faults show", () => {
    const low = by(model.faults, "supply_low")
    // 90 % between 15 and 22.7 V; the other 10 % on the 3001 − 771 = 2230 values outside.
    close(low.chances[index("rail")]!, [
      0.1 * (900 / 2230),
      0.1 * (600 / 2230),
      0.9,
      0.1 * (9 / 2230),
      0.1 * (241 / 2230),
      0.1 * (480 / 2230),
    ])
    expect(low.chances[index("glow")]).toBeUndefined()
    expect(low.recurs).toBe(1)
    close(by(model.faults, "driver_dead").chances[index("glow")]!, [0, 1])
    const loose = by(model.faults, "ribbon_loose")
    expect([loose.recurs, loose.odds, loose.place]).toEqual([0.7, 9, 3])
    expect(loose.shows).toEqual([])
    expect(held(model, "rail", low.shows[0]!.cells)).toEqual(["15 to 22.7 V"])
  })

  test("a told question has its trust, and its distribution without it", () => {
    const moved = by(model.readings, "moved")
    expect([moved.told, moved.trust]).toEqual([true, 0.8])
    close(moved.healthy, [0.5, 0.5])
    close(by(model.readings, "glow").healthy, [0.98, 0.02])
  })

  test("tests, with what they redo and cost; the told question is the last", () => {
    const tests = model.tests.map(
      ({ name, kind, reads, parts, redoes, minutes, cost, after, tries, power }) => ({
        name,
        kind,
        reads,
        parts: parts.map((part) => model.places[part]!.name),
        redoes: redoes.map(({ setup, cures, named }) => [model.places[setup]!.name, cures, named]),
        minutes,
        cost,
        after,
        tries,
        power,
      }),
    )
    const rest = { reads: [], parts: [], redoes: [], after: [], tries: 1, power: undefined }
    expect(tests).toEqual([
      { ...rest, name: "look_glow", kind: "reads", reads: [index("glow")], minutes: 1, cost: 0.8 },
      {
        ...rest,
        name: "meter_rail",
        kind: "reads",
        reads: [index("rail")],
        minutes: 4,
        cost: 3.2,
        power: "on",
      },
      {
        ...rest,
        name: "reseat_ribbon",
        kind: "redoes",
        redoes: [["ribbon", 0.85, true]],
        minutes: 6,
        cost: 4.8,
        tries: 3,
        power: "off",
      },
      {
        ...rest,
        name: "try_panel",
        kind: "swaps",
        parts: ["panel"],
        redoes: [["ribbon", 0.85, false]],
        minutes: 18,
        cost: 14.4,
        power: "off",
      },
      {
        ...rest,
        name: "try_driver",
        kind: "swaps",
        parts: ["driver"],
        redoes: [["rear_cover", 0.4, false]],
        minutes: 12,
        cost: 9.6,
        after: [1],
        power: "off",
      },
      { ...rest, name: "moved", kind: "told", reads: [index("moved")], minutes: 0.5, cost: 0.4 },
    ])
    expect(by(model.tests, "meter_rail").needs).toEqual(["multimeter"])
    expect(by(model.tests, "meter_rail").cautions).toEqual(["Live plug: one hand, insulated probes."])
  })

  test("rules, never and proofs", () => {
    expect(
      model.rules.map(({ verb, of, line }) => [verb, of.map((fault) => model.faults[fault]!.name), line]),
    ).toEqual([
      ["rule out", ["supply_low"], 41],
      ["rule out", ["driver_dead"], 43],
    ])
    const [first] = model.rules
    expect(first!.because).toBe("a rail inside ±5 % under load clears the supply")
    expect(first!.condition.kind === "in" && held(model, "rail", first!.condition.cells)).toEqual([
      "22.8 to 25.2 V",
    ])
    const never = model.nevers[0]!.condition
    expect(
      never.kind === "and" &&
        never.items.map(
          (item) => item.kind === "in" && held(model, model.readings[item.reading]!.name, item.cells),
        ),
    ).toEqual([["yes"], ["below 9 V"]])
    expect(model.proofs.map(({ text, times, minutes, places }) => [text, times, minutes, places])).toEqual([
      ["Power it up cold", 5, 2, []],
      ["Tilt it 15° each way while on", 1, 3, [1, 3]],
    ])
  })
})

/** A program around what a test is about. */
const around = (rest: string): string => `ruleset r "R"
complaint dark "dark"
part box "box"
fault broken "broken" in box odds 1
${rest}`

describe("the whole job", () => {
  const model = modelOf(`ruleset r "R" bench 30 per hour waiting 4 per hour second fault 3% unlisted 1.5%
    complaint dark "dark" takes 90 s tries 4
    setup lid "lid"
    setup tray "tray" behind lid
    part box "box" price 90 spare behind tray fit takes 20 min fit waits 2 h
    part lamp "lamp" price 8 spare fit costs 3
    setup seat "seat" of box redo cures 60%
    told moved "?" yes or no normally is yes 20% trust 80%
    reading x "?" yes or no
    fault broken "b" in box odds 1 eased by lid 30% eased by seat fix costs 5 fix waits 1 h
    fault blown "b" in lamp odds 1 fix takes 2 min shows moved is yes 90%
    fault loose "l" in seat odds 2
    fault bent "b" in lamp odds 1
    test both "both" swaps box, lamp takes 10 min waits 30 min
    test without "without" removes lamp, box takes 5 min tries 2 after any of both, look
    test look "look" reads x after both
    when x is yes rule out any in lamp except bent, any in seat 80%
    when x is no rule out loose, any in box
    when x is no leaves only broken, any in lamp except blown 99.5%`)
  const setup = (index: number) => model.places[index]!.name

  test("what a machine has that isn't one listed fault, and what waiting costs", () => {
    const { second, unlisted, waiting, hedged } = model.ruleset
    expect({ second, unlisted, waiting, hedged }).toEqual({
      second: 0.03,
      unlisted: 0.015,
      waiting: 4,
      hedged: true,
    })
    expect(modelOf(around("").replace('"R"', '"R" unlisted 0%')).ruleset.hedged).toBe(true)
    expect(modelOf(around("")).ruleset.hedged).toBe(false)
  })

  test("a try of the complaint, and the tries of a look", () => {
    expect([model.complaint.minutes, model.complaint.tries]).toEqual([1.5, 4])
    expect(model.tests.slice(0, 3).map(({ name, tries }) => [name, tries])).toEqual([
      ["both", 4],
      ["without", 2],
      ["look", 4],
    ])
  })

  test("the setups on the way to each place", () => {
    expect(model.places.map(({ name, reach }) => [name, reach.map(setup)])).toEqual([
      ["lid", ["lid"]],
      ["tray", ["tray", "lid"]],
      ["box", ["seat", "tray", "lid"]],
      ["lamp", []],
      ["seat", ["seat"]],
    ])
  })

  test("what it takes to fit a part and to fix a fault", () => {
    expect(model.places.map(({ fit }) => fit)).toEqual([
      undefined,
      undefined,
      { minutes: 20, costs: 0, waits: 120 },
      { minutes: 0, costs: 3, waits: 0 },
      undefined,
    ])
    expect(model.faults.map(({ fix }) => fix)).toEqual([
      { minutes: 0, costs: 5, waits: 60 },
      { minutes: 2, costs: 0, waits: 0 },
      undefined,
      undefined,
    ])
  })

  test("setups that ease a fault", () => {
    expect(model.faults[0]!.eased.map((each) => [setup(each.setup), each.chance])).toEqual([
      ["lid", 0.3],
      ["seat", 1],
    ])
  })

  test("several parts at once, and what reaching them redoes", () => {
    const [both, without, look] = model.tests
    const redoes = [
      ["seat", 0.6, false],
      ["tray", 1, false],
      ["lid", 1, false],
    ]
    for (const each of [both!, without!])
      expect(each.redoes.map(({ setup: at, cures, named }) => [setup(at), cures, named])).toEqual(redoes)
    expect([both!.kind, both!.parts, both!.minutes, both!.waits, both!.cost]).toEqual([
      "swaps",
      [2, 3],
      10,
      30,
      5,
    ])
    expect([without!.kind, without!.parts, without!.after, without!.afterAny]).toEqual([
      "removes",
      [3, 2],
      [],
      [0, 2],
    ])
    expect([look!.after, look!.afterAny]).toEqual([[0], []])
  })

  test("mixed lists of faults, and how far a rule is trusted", () => {
    expect(model.rules.map(({ verb, of, chance }) => [verb, of, chance])).toEqual([
      ["rule out", [1, 2], 0.8],
      ["rule out", [0, 2], 1],
      ["leaves only", [0, 3], 0.995],
    ])
    expect(model.rules.map(({ faults }) => faults!.items.map(({ of, except }) => [of, except]))).toEqual([
      [
        [[1], true],
        [[2], false],
      ],
      [
        [[2], false],
        [[0], false],
      ],
      [
        [[0], false],
        [[3], true],
      ],
    ])
  })

  test("a told question has its own answers of a healthy machine, and trust is not in the chances", () => {
    const { healthy, normally, trust } = by(model.readings, "moved")
    expect([[...healthy], normally!.chance, trust]).toEqual([[0.2, 0.8], 0.2, 0.8])
    close(model.faults[1]!.chances[0]!, [0.9, 0.1])
  })
})

describe("defaults (as the reference says)", () => {
  test("bench 60, comeback 2 and handover 4 bench hours, trust 0, price 0", () => {
    const { ruleset, places } = modelOf(around(""))
    const { bench, comeback, handover, trust, version, money } = ruleset
    expect({ bench, comeback, handover, trust, version, money }).toEqual({
      bench: 60,
      comeback: 120,
      handover: 240,
      trust: 0,
      version: "0.0.0",
      money: "XXX",
    })
    expect(places[0]).toMatchObject({ price: 0, spare: false, cures: 1 })
    const half = modelOf(around("").replace('"R"', '"R" bench 30 per hour')).ruleset
    expect([half.comeback, half.handover]).toEqual([60, 120])
  })

  test("a step without `by` is a thousandth of the range", () => {
    const { readings } = modelOf(around('reading rail "?" in V from 0 to 5'))
    expect(readings[0]!.grid).toMatchObject({ unit: "V", from: 0, to: 5, by: 0.005, count: 1001 })
    expect(readings[0]!.cells).toEqual([{ label: "0 to 5 V", weight: 1001, first: 0, last: 1000 }])
  })

  test("a told question is believed and asked in half a minute, or as it says", () => {
    const { readings, tests } = modelOf(
      around('told a "?" yes or no  told b "?" one of red, blue trust 0% takes 90 s'),
    )
    expect(readings.map(({ trust }) => trust)).toEqual([1, 0])
    expect(tests.map(({ name, minutes, cost }) => [name, minutes, cost])).toEqual([
      ["a", 0.5, 0.5],
      ["b", 1.5, 1.5],
    ])
  })

  test("cost is minutes at the bench rate, costs, and risks at the part's price", () => {
    const { tests } = modelOf(
      around(
        'reading x "?" yes or no part dear "d" price 200 test t "t" reads x takes 2 h costs 3.5 risks dear 1.5% risks box 50%',
      ),
    )
    expect(tests[0]).toMatchObject({ minutes: 120, costs: 3.5, cost: 120 + 3.5 + 3 })
  })
})

describe("conditions over cells", () => {
  const whens = (rest: string, reading = "x"): string[][] => {
    const model = modelOf(around(rest))
    return model.rules.map(({ condition }) =>
      condition.kind === "in" ? held(model, reading, condition.cells) : [],
    )
  }

  test("ends included and excluded", () => {
    const range = 'reading x "?" in V from 0 to 6 by 1'
    expect(whens(`${range} when x between 2 and 4 V rule out broken`)).toEqual([["2 to 4 V"]])
    expect(whens(`${range} when x outside 2 and 4 V rule out broken`)).toEqual([["below 2 V", "above 4 V"]])
    expect(whens(`${range} when x below 3 V rule out broken`)).toEqual([["below 3 V"]])
    expect(whens(`${range} when x at most 3 V rule out broken`)).toEqual([["up to 3 V"]])
    expect(whens(`${range} when x above 3 V rule out broken`)).toEqual([["above 3 V"]])
    expect(whens(`${range} when x at least 3 V rule out broken`)).toEqual([["from 3 V"]])
  })

  test("choices: every value is its own cell", () => {
    const colours = 'reading x "?" one of red, amber, green, off'
    expect(whens(`${colours} when x is not amber rule out broken`)).toEqual([["red", "green", "off"]])
    expect(whens(`${colours} when x is one of off, red rule out broken`)).toEqual([["red", "off"]])
  })

  test("units of the reading's dimension; the first number of a pair may leave its unit out", () => {
    const rail = 'reading x "?" in V from 0 to 5 by 10 mV'
    expect(
      whens(`${rail} when x below 850 mV rule out broken when x between 900 and 4750 mV rule out broken`),
    ).toEqual([["below 0.85 V"], ["0.9 to 4.75 V"]])
  })

  test("a °C reading takes a step in K as a difference, and a limit in K as a temperature", () => {
    const model = modelOf(
      around('reading x "?" in degC from -40 to 125 by 0.5 K when x above 353.15 K rule out broken'),
    )
    expect(model.readings[0]!.grid).toMatchObject({ unit: "degC", from: -40, to: 125, by: 0.5, count: 331 })
    expect(model.readings[0]!.cells.map(({ label }) => label)).toEqual(["up to 80 degC", "above 80 degC"])
  })

  test("thresholds of only if, expects, shows and normally cut too", () => {
    const model = modelOf(`ruleset r "R" complaint dark "dark" part box "box"
      reading x "?" in V from 0 to 100 by 1 normally between 10 and 90 V 90%
      fault broken "b" in box odds 1 shows x below 20 V 50% shows x above 80 V 30%
      reading y "?" yes or no
      test t "t" reads y only if x at least 50 V
      proof "p" expects x between 40 and 60 V`)
    expect(model.readings[0]!.cells.map(({ first }) => first)).toEqual([0, 10, 20, 40, 50, 61, 81, 91])
    const { expects } = model.proofs[0]!
    expect(held(model, "x", expects!.cells)).toEqual(["40 to 49 V", "50 to 60 V"])
    const { onlyIf } = model.tests[0]!
    expect(onlyIf?.kind === "in" && held(model, "x", onlyIf.cells)).toEqual([
      "50 to 60 V",
      "61 to 80 V",
      "81 to 90 V",
      "above 90 V",
    ])
    // 50 % on 20 values, 30 % on 20, 20 % on the 61 between.
    close(model.faults[0]!.chances[0]!, [
      0.25,
      0.25,
      (0.2 * 20) / 61,
      (0.2 * 10) / 61,
      (0.2 * 11) / 61,
      (0.2 * 20) / 61,
      0.15,
      0.15,
    ])
  })
})

describe("what a test redoes (as the reference says)", () => {
  const base = `ruleset r "R" complaint dark "dark"
    setup lid "lid" redo cures 10%
    setup tray "tray" behind lid redo cures 20%
    setup plug "plug" redo cures 30%
    part board "board" spare behind tray
    setup seat "seat" of board behind plug redo cures 40%
    setup far "far" redo cures 50%
    fault broken "b" in board odds 1 `
  const redone = (test: string): [string, number, boolean][] => {
    const model = modelOf(base + test)
    return model.tests[0]!.redoes.map(({ setup, cures, named }) => [model.places[setup]!.name, cures, named])
  }

  test("a swap redoes what is `of` the part, what it is behind, and what those are behind", () => {
    expect(redone('test t "t" swaps board')).toEqual([
      ["seat", 0.4, false],
      ["tray", 0.2, false],
      ["plug", 0.3, false],
      ["lid", 0.1, false],
    ])
  })

  test("the test's own percentage counts, also for what comes with the work", () => {
    expect(redone('test t "t" swaps board redoes far, lid 90%')).toEqual([
      ["far", 0.5, true],
      ["lid", 0.9, true],
      ["seat", 0.4, false],
      ["tray", 0.2, false],
      ["plug", 0.3, false],
    ])
  })

  test("redoing a setup redoes what it is behind", () => {
    expect(redone('test t "t" redoes tray')).toEqual([
      ["tray", 0.2, true],
      ["lid", 0.1, false],
    ])
  })
})

describe("rules", () => {
  const model = modelOf(`ruleset r "R" complaint dark "dark" part a "a" part b "b"
    reading x "?" yes or no
    fault a1 "1" in a odds 1 fault b1 "1" in b odds 1 fault a2 "2" in a odds 1 fault a3 "3" in a odds 1
    when x is yes rule out any in a except a2
    when x is no leaves only a3, b1
    rule last: when x is yes leaves only any in a except a1, a3`)

  test("any in, except, leaves only, names", () => {
    expect(model.rules.map(({ of }) => of.map((fault) => model.faults[fault]!.name))).toEqual([
      ["a1", "a3"],
      ["b1", "a3"],
      ["a2"],
    ])
    expect(model.rules.map(({ name }) => name)).toEqual([undefined, undefined, "last"])
  })
})

test("names that a host language gives a meaning are names like others", () => {
  const model = modelOf(`ruleset constructor "R" complaint tostring "dark" part valueof "v"
    fault hasownproperty "h" in valueof odds 1 shows prototype is yes
    reading prototype "?" yes or no
    when prototype is no rule out hasownproperty`)
  expect(model.rules[0]!.of).toEqual([0])
})
