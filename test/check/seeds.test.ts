import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, describe, expect, test } from "vitest"
import { check, checkPlan, checks } from "../../compiler/check/check.ts"
import { Context } from "../../compiler/check/context.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"
import type { Model } from "../../compiler/model/model.ts"
import { codesIn, planFor } from "./text.ts"

/**
 * Defects planted in the shipped rulesets: beside what it says of a ruleset anyhow, the analysis must find just what was
 * planted. Everything is planted at the end, in declarations of its own, so it holds whatever the rulesets become.
 */
const folder = join(import.meta.dirname, "../../rulesets")
const rulesets = readdirSync(folder).filter((name) => existsSync(join(folder, name, `${name}.ruleout`)))

function modelOf(name: string, planted = "", change = (text: string) => text): Model {
  const root = `${name}/${name}.ruleout`
  const read = (path: string) => {
    const file = join(folder, path)
    if (!existsSync(file)) return undefined
    const text = readFileSync(file, "utf8")
    return path === root ? `${change(text)}\n${planted}\n` : text
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
  // No one rule takes all that the last one leaves, nor all that a rule of the ruleset does.
  contradiction: () => `${reading("seed")}\n${reading("other")}\n${reading("third")}
part seed_part "Planted" price 10
fault planted_a "Planted" in seed_part odds 1 shows third is yes 60%
fault planted_b "Planted" in seed_part odds 1 shows third is yes 40%
when seed is yes rule out planted_a
when other is yes rule out planted_b
when third is yes leaves only planted_a, planted_b`,
  "rule-against-shows": ({ part }) => `${reading("seed")}
fault planted "Planted" in ${part} odds 1 shows seed is yes 60%
when seed is yes rule out planted`,
  "never-repaired": () => `${reading("seed")}
setup seed_post "Planted"
fault planted "Planted" in seed_post odds 1 shows seed is yes 60%`,
  "free-repair": () => `${reading("seed")}
part seed_a "Planted"
fault planted "Planted" in seed_a odds 1 shows seed is yes 60%`,
  "opposed-rules": () => `${reading("seed")}\n${reading("other")}
part seed_part "Planted" price 10
fault planted "Planted" in seed_part odds 1
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
  "ungated-repair": ({ taken }) => `${reading("seed")}
when seed is yes rule out ${taken}
setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1
test planted_seat "Seat it" redoes seed_plug takes 1 min only if seed is yes`,
  "never-done (a repair)": ({ taken }) => `${reading("seed")}
when seed is yes rule out ${taken}
setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1 fix only if seed is yes and seed is no
test planted_seat "Seat it" redoes seed_plug takes 1 min`,
  "blind-test": () => `${reading("seed")}
setup seed_plug "Planted"
fault planted "Planted" in seed_plug odds 1 fix only if seed is yes
test planted_seat "Seat it" redoes seed_plug takes 1 min only if seed is yes`,
  inseparable: () => `part seed_a "Planted" price 10
part seed_b "Planted" price 20
fault planted_a "Planted" in seed_a odds 1
fault planted_b "Planted" in seed_b odds 1`,
}

/**
 * Four islands in one ruleset, with nearly all of its machines, so that even a rough plan takes care of them: a cheap
 * reading tells which one a machine belongs to, and `kind` parts it further, so that each defect stays to itself.
 */
const islands = ["nb", "nw", "cf", "bt"] as const

/** A fault of an island, the first two letters of its name, that shows its own `kind` so often, else the common z. */
const islander = (name: string, place: string, odds: number, own = "x", often = 0) =>
  `fault ${name} "Planted" in ${place} odds ${odds} shows isle is ${name.slice(0, 2)} 99.99%
  shows kind is ${own} ${often}% shows kind is z ${100 - often}%`

function planted({ faults, ruleset, complaint }: Model): string {
  const odds = 20 * faults.reduce((sum, fault) => sum + fault.odds, 0)
  // Less than handing over even with the proof run, but too much to be tried; and next to nothing.
  const [dear, cheap] = [0.7, 0.02].map((part) => Math.round(ruleset.handover * part))
  return `reading isle "Planted" one of none, ${islands.join(", ")}  normally is none 99.99%
reading kind "Planted" one of x, y, z
reading dear "Planted" yes or no  normally is no 90%
test read_isle "Read it" reads isle takes 0.1 min
test read_kind "Read it" reads kind takes 0.1 min
test bt_read "Read it" reads dear costs 9000

# Seldom shows, so once the common one is repaired it stays hidden, and the machine goes back.
part nb_a "Planted" price ${dear}
part nb_b "Planted" price ${cheap}
${islander("nb_often", "nb_b", odds * 0.93)}
${islander("nb_seldom", "nb_a", odds * 0.07)} shows ${complaint.name} 0.1%

# One time in two both show z, and nothing is left to try.
part nw_a "Planted" price ${dear}
part nw_b "Planted" price ${dear}
${islander("nw_one", "nw_a", odds / 2, "x", 50)}
${islander("nw_other", "nw_b", odds / 2, "y", 50)}

# Swapping redoes the plug; putting back costs more than the mistake.
part cf_a "Planted" price ${cheap} spare
part cf_b "Planted" price ${cheap}
setup cf_plug "Planted" of cf_a
${islander("cf_part", "cf_a", odds * 0.45)}
${islander("cf_seat", "cf_plug", odds * 0.1)}
${islander("cf_else", "cf_b", odds * 0.45)}
test cf_try "Fit it" swaps cf_a costs ${cheap}

part bt_a "Planted" price ${cheap}
${islander("bt_fault", "bt_a", odds)} shows dear is yes 60%`
}

/** The code that each island is planted for. */
const codeOf: Record<(typeof islands)[number], string> = {
  nb: "never-blamed",
  nw: "no-way-on",
  cf: "confounded",
  bt: "beaten-test",
}

function namesIn(model: Model): Names {
  const { against } = new Context(model)
  const names = model.faults.map(({ name }) => name)
  const taken = against.findIndex((list) => list.length > 0)
  return {
    taken: names[Math.max(0, taken)]!,
    part: model.places.find(({ kind }) => kind === "part")!.name,
  }
}

/** What leaves only one fault takes what isn't listed too, which alone explains findings that no fault can show. */
const alongside: Record<string, readonly string[]> = { "opposed-rules": ["contradiction"] }

/** Where something is said of what, as long as what is planted comes last. */
const placed = ({ code, span: { file, start } }: Diagnostic) => `${code} ${file} ${start}`

describe.each(rulesets)("%s", (name) => {
  const model = modelOf(name)
  const names = namesIn(model)
  const before = new Set(check(model).map(placed))

  test.each(Object.keys(seeds))("%s is found, and nothing else", (seed) => {
    const [code] = seed.split(" ")
    const text = seeds[seed]!(names).replace("COMPLAINT", model.complaint.name)
    const found = check(modelOf(name, text)).filter((each) => !before.has(placed(each)))
    expect(codesIn(found)).toContain(code)
    expect(found.filter((each) => each.code !== code && !alongside[seed]?.includes(each.code))).toEqual([])
  })
})

describe.each(rulesets)("the plan of %s", (name) => {
  // One plan for all; it need not be a good one for this, but whole. What it says of the rest is not looked at.
  let model: Model
  let found: readonly Diagnostic[]
  beforeAll(() => {
    // With two faults at once the islands would mix.
    const alone = (text: string) => text.replace(/second fault\s+[\d.]+\s*%/, "second fault 0%")
    model = modelOf(name, planted(modelOf(name)), alone)
    found = checkPlan(model, planFor(model, { effort: 200, mass: 0 }), {
      limit: 1000,
    })
  }, 240_000)

  test.each(islands)("what is planted on the island %s is found, and nothing else", (island) => {
    const own = [...model.faults, ...model.tests].filter((each) => each.name.startsWith(`${island}_`))
    // A dead end stands where it is come to; the first label is what is most likely left.
    const about = found.filter(({ code, span, labels = [] }) =>
      own.some((each) => each.span === (code === "no-way-on" ? labels[0]?.span : span)),
    )
    expect([...new Set(about.map(({ code }) => code))]).toEqual([codeOf[island]])
  })
})

test("at least sixty defects are planted", () => {
  expect(rulesets.length * (Object.keys(seeds).length - 1)).toBeGreaterThanOrEqual(60)
})

test("every code is expected of some defect", () => {
  const planted = [...Object.keys(seeds), ...Object.values(codeOf)].map((seed) => seed.split(" ")[0])
  // `unexplained` and `sure-of-itself` cannot be planted where the ruleset has `unlisted`, as most of these have; gaps are
  // only looked for on demand; and a test on which everything hangs needs a ruleset of its own (`plans.test.ts`).
  const elsewhere = ["unexplained", "sure-of-itself", "gap-in-rules", "hangs-on-one"]
  expect(checks.filter(({ code }) => !planted.includes(code) && !elsewhere.includes(code))).toEqual([])
})
