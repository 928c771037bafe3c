import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { describe, expect, test } from "vitest"
import { check, checkPlan, checks } from "../../compiler/check/check.ts"
import { Context } from "../../compiler/check/context.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import type { Model } from "../../compiler/model/model.ts"
import { planFor } from "./text.ts"

/** Defects planted in the shipped rulesets: the analysis must find just what was planted, and nothing in the original. */
const folder = join(import.meta.dirname, "../../rulesets")
const rulesets = readdirSync(folder).filter((name) => existsSync(join(folder, name, `${name}.ruleout`)))

function modelOf(name: string, planted = ""): Model {
  const root = `${name}/${name}.ruleout`
  const read = (path: string) => {
    const file = join(folder, path)
    return existsSync(file) ? readFileSync(file, "utf8") + (path === root ? `\n${planted}\n` : "") : undefined
  }
  const { trees, sources, diagnostics } = load(root, read)
  const bound = bind(trees, sources)
  const bad = [...diagnostics, ...bound.diagnostics].find((each) => each.severity === "error")
  if (bad !== undefined || bound.model === undefined) throw new Error(`${name}: ${bad?.message}\n${planted}`)
  return bound.model
}

/** A reading of its own with the test that reads it, so that a defect does not disturb what is there. */
const reading = (name: string, type = "yes or no") =>
  `reading ${name} "Planted" ${type}\ntest read_${name} "Read it" reads ${name} takes 1 min`

interface Names {
  /** A fault that something rules out. */
  readonly taken: string
  /** All faults in two halves, and the first and the last of them. */
  readonly halves: readonly [string, string]
  readonly first: string
  readonly last: string
  readonly part: string
}

const seeds: Record<string, (names: Names) => string> = {
  "unreachable-rule": ({ taken }) => `${reading("seed")}
when seed is yes and seed is no rule out ${taken}
when seed is yes rule out ${taken}`,
  "unreachable-rule (never)": ({ taken }) => `${reading("seed")}\n${reading("other")}
never seed is yes and other is no
when seed is yes and other is no rule out ${taken}
when seed is yes and other is yes rule out ${taken}`,
  "idle-rule": ({ taken }) => `${reading("seed")}\n${reading("other")}
when seed is yes rule out ${taken}
when seed is yes and other is no rule out ${taken}
when seed is no and other is no rule out ${taken}`,
  "idle-rule (two together)": ({ taken }) => `${reading("seed", "in V from 0 to 30 by 0.1")}
when seed below 10 V rule out ${taken}
when seed between 10 and 20 V rule out ${taken}
when seed below 15 V rule out ${taken}`,
  contradiction: ({
    halves: [some, others],
    first,
    last,
  }) => `${reading("seed")}\n${reading("other")}\n${reading("third")}
when seed is yes rule out ${some}
when other is yes rule out ${others}
when third is yes leaves only ${first}, ${last}`,
  "rule-against-shows": ({ part }) => `${reading("seed")}
fault planted "Planted" in ${part} odds 1 shows seed is yes 60%
when seed is yes rule out planted`,
  "never-repaired": () => `${reading("seed")}
setup seed_post "Planted"
fault planted "Planted" in seed_post odds 1 shows seed is yes 60%`,
  "free-repair": () => `${reading("seed")}
part seed_a "Planted"
fault planted "Planted" in seed_a odds 1 shows seed is yes 60%`,
  "opposed-rules": ({ part }) => `${reading("seed")}\n${reading("other")}
fault planted "Planted" in ${part} odds 1
when seed is yes leaves only planted
when other is yes rule out planted`,
  "certain-never": ({ taken }) => `${reading("seed", "one of a, b, c")}
when seed is a rule out ${taken}
never seed is c`,
  "certain-never (two together)": ({ taken }) => `${reading("seed")}\n${reading("other")}
when seed is no and other is no rule out ${taken}
never seed is yes and other is yes
never seed is yes and other is no`,
  "silent-reading": ({ taken }) => `reading seed "Planted" yes or no
when seed is yes rule out ${taken}`,
  "dead-fault": ({ part }) => `${reading("seed")}
fault planted "Planted" in ${part} odds 1
when seed is yes rule out planted
when seed is no rule out planted`,
  hearsay: ({ taken }) => `told seed "Planted?" yes or no trust 80%
when seed is no rule out ${taken}`,
  "finer-than-meter": ({ taken }) => `${reading("seed", "in V from 0 to 30 by 0.1")}
when seed below 21.43 V rule out ${taken}
when seed between 21.47 and 29 V rule out ${taken}`,
  "uncovered-values": ({ taken }) => `${reading("seed", "in V from 0 to 30 by 0.1")}
when seed below 10 V rule out ${taken}
when seed above 20 V rule out ${taken}`,
  "live-without-caution": () => `setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1
test planted_live "Seat it with the power on" redoes seed_plug takes 1 min power on`,
  "short-proof": ({ part }) => `fault planted "Planted" in ${part} odds 1 shows COMPLAINT 0.01%
proof "Once" times 2 takes 1 min`,
  "never-done": ({ taken }) => `${reading("seed")}
when seed is yes rule out ${taken}
setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1
test planted_seat "Seat it" redoes seed_plug takes 1 min
test planted_again "Seat it again" redoes seed_plug takes 1 min only if seed is yes and seed is no`,
  "blind-test": () => `${reading("seed")}
setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1
test planted_seat "Seat it" redoes seed_plug takes 1 min only if seed is yes`,
  inseparable: () => `part seed_a "Planted" price 10
part seed_b "Planted" price 20
fault planted_a "Planted" in seed_a odds 1
fault planted_b "Planted" in seed_b odds 1`,
}

/**
 * A complaint of its own kind, so that what is planted stays to itself in the plan too: one cheap reading tells it from
 * all that was there, well enough for any verdict, and a second one parts it into three.
 */
const island = `reading seed "Planted" yes or no  normally is no 99.99%
reading kind "Planted" one of x, y, z
test read_seed "Read it" reads seed takes 0.1 min
test read_kind "Read it" reads kind takes 0.1 min
part seed_a "Planted" price 10 spare
part seed_b "Planted" price 10
setup seed_plug "Planted" of seed_a`

/** A fault that shows `seed`, and its own value of `kind` in so many percent of the jobs, else the common z. */
const planted = (name: string, place: string, odds: number, own: string, often: number) =>
  `fault ${name} "Planted" in ${place} odds ${odds} shows seed is yes 99.99%
  shows kind is ${own} ${often}% shows kind is z ${100 - often}%`

/** Defects of the plan; `odds`: as many as all faults of the ruleset together have. */
const planSeeds: Record<string, (odds: number) => string> = {
  // Common and rare show alike but for a reading that costs more than any mistake.
  "never-blamed": (odds) => `${island}
${planted("planted_often", "seed_b", odds, "x", 50)}
${planted("planted_seldom", "seed_a", odds / 1000, "x", 50)} shows dear is yes 60%
reading dear "Planted" yes or no normally is no 90%
test read_dear "Read it" reads dear costs 9000`,
  // One time in two both show z, and nothing is left to try.
  "no-way-on": (odds) => `${island}
part seed_c "Planted" price 10
${planted("planted_b", "seed_b", odds, "x", 50)}
${planted("planted_c", "seed_c", odds, "y", 50)}`,
  // Swapping redoes the plug; putting back costs more than the mistake.
  confounded: (odds) => `${island}
${planted("planted_a", "seed_a", odds, "x", 0)}
${planted("planted_plug", "seed_plug", odds / 5, "y", 60)}
${planted("planted_b", "seed_b", odds, "x", 0)}
test try_seed "Fit it" swaps seed_a costs 30`,
  "beaten-test": (odds) => `${island}
${planted("planted_b", "seed_b", odds, "x", 50)} shows dear is yes 60%
reading dear "Planted" yes or no normally is no 90%
test read_dear "Read it" reads dear costs 9000`,
}

function namesIn(model: Model): Names {
  const { against } = new Context(model)
  const names = model.faults.map(({ name }) => name)
  const taken = against.findIndex((list) => list.length > 0)
  return {
    taken: names[Math.max(0, taken)]!,
    halves: [names.slice(0, names.length >> 1).join(", "), names.slice(names.length >> 1).join(", ")],
    first: names[0]!,
    last: names.at(-1)!,
    part: model.places.find(({ kind }) => kind === "part")!.name,
  }
}

describe.each(rulesets)("%s", (name) => {
  const model = modelOf(name)
  const names = namesIn(model)
  const before = new Set(check(model).map(({ code, message }) => `${code} ${message}`))

  test("as shipped has neither an error nor a warning", () => {
    expect(check(model).filter(({ severity }) => severity !== "note")).toEqual([])
  })

  test.each(Object.keys(seeds))("%s is found, and nothing else", (seed) => {
    const planted = seeds[seed]!(names).replace("COMPLAINT", model.complaint.name)
    const found = check(modelOf(name, planted)).filter(
      ({ code, message }) => !before.has(`${code} ${message}`),
    )
    expect([...new Set(found.map(({ code, message }) => `${code}: ${message}`))].join("\n")).toMatch(
      new RegExp(`^(${seed.split(" ")[0]}: .*\n?)+$`),
    )
  })
})

describe.each(rulesets)("the plan of %s", (name) => {
  const odds = modelOf(name).faults.reduce((sum, fault) => sum + fault.odds, 0)

  // The plan need not be a good one for this, but whole: what it says of the rest is not looked at, nor are notes.
  test.each(Object.keys(planSeeds))("%s is found, and nothing else, of what is planted", (code) => {
    const model = modelOf(name, planSeeds[code]!(odds))
    const diagnostics = checkPlan(model, planFor(model, { effort: 60, mass: 0 }))
    const codes = diagnostics
      .filter((each) => each.code === code || each.severity !== "note")
      .filter(({ message, help }) => /`planted_|`read_dear/.test(`${message} ${help}`))
      .map((each) => each.code)
    expect([...new Set(codes)]).toEqual([code])
  })
})

test("at least sixty defects are planted", () => {
  expect(rulesets.length * (Object.keys(seeds).length - 1)).toBeGreaterThanOrEqual(60)
})

test("every code is expected of some defect", () => {
  const planted = Object.keys({ ...seeds, ...planSeeds }).map((seed) => seed.split(" ")[0])
  // `unexplained` and `sure-of-itself` cannot be planted where the ruleset has `unlisted`, as most of these have; gaps are
  // only looked for on demand; and a test on which everything hangs needs a ruleset of its own (`plans.test.ts`).
  const elsewhere = ["unexplained", "sure-of-itself", "gap-in-rules", "hangs-on-one"]
  expect(checks.filter(({ code }) => !planted.includes(code) && !elsewhere.includes(code))).toEqual([])
})
