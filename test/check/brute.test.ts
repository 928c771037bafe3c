import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { certainNever } from "../../compiler/check/codes/certain-never.ts"
import { hearsay } from "../../compiler/check/codes/hearsay.ts"
import { clashOf } from "../../compiler/check/codes/unreachable-rule.ts"
import { Context } from "../../compiler/check/context.ts"
import { contradictions, unexplained } from "../../compiler/check/proofs/contradictions.ts"
import { deadFaults } from "../../compiler/check/proofs/dead-faults.ts"
import { gapsInRules } from "../../compiler/check/proofs/gaps.ts"
import { idleRules } from "../../compiler/check/proofs/idle-rules.ts"
import { opposedPairs } from "../../compiler/check/proofs/opposed-rules.ts"
import { rulesAgainstShows } from "../../compiler/check/proofs/rules-against-shows.ts"
import type { Condition, Model } from "../../compiler/model/model.ts"
import { type RuleIndex, tableOf } from "../../compiler/run/indexes.ts"
import {
  against,
  type Evidence,
  fewest,
  findings,
  isOut,
  kleene,
  machines,
  states,
  strikes,
} from "./brute.ts"
import { smallModel } from "./small.ts"

const models = fc
  .gen()
  .map((g) => smallModel({ int: (from, to) => g(fc.integer, { min: from, max: Math.max(from, to) }) }))

function always(property: (model: Model, context: Context) => void, numRuns = 300): void {
  // With `few` at 0 nothing is tried out one by one: all is for the solver to say.
  const options = fc.constantFrom({}, { exhaustive: 0 })
  fc.assert(
    fc.property(models, options, (model, few) => property(model, new Context(model, undefined, few))),
    { numRuns, seed: 7 },
  )
}

function mentions(condition: Condition, reading: number): boolean {
  if (condition.kind === "in") return condition.reading === reading
  if (condition.kind === "not") return mentions(condition.item, reading)
  return condition.items.some((item) => mentions(item, reading))
}

describe("against every set of findings in turn", () => {
  test("a rule is unreachable", () => {
    const count = { yes: 0, no: 0 }
    always((model, context) => {
      const all = findings(model)
      expect(context.possible).toBe(all.length > 0)
      if (all.length === 0) return
      for (const [i, rule] of model.rules.entries()) {
        const reachable = all.some((evidence) => kleene(rule.condition, evidence))
        expect(context.unreachable[i]).toBe(!reachable)
        count[reachable ? "no" : "yes"]++
      }
    })
    expect(Math.min(count.yes, count.no)).toBeGreaterThan(50)
  })

  test("the fewest clauses and `never`s that keep a rule from acting", () => {
    let count = 0
    always((model, context) => {
      if (!context.possible) return
      const all = machines({ ...model, nevers: [] })
      for (const [i, unreachable] of context.unreachable.entries()) {
        if (!unreachable) continue
        const { formula } = context.eliminations[i]!
        const items = (formula.kind === "and" ? formula.items : [formula]) as readonly Condition[]
        const clauses = [
          ...items.map((item) => (machine: Evidence) => kleene(item, machine)!),
          ...model.nevers.map(
            ({ condition }) =>
              (machine: Evidence) =>
                !kleene(condition, machine),
          ),
        ]
        const clash = clashOf(context, i)
        expect(clash.smallest).toBe(true)
        expect(clash.items.length + clash.nevers.length).toBe(
          fewest(clauses, (some) => !all.some((machine) => some.every((each) => each(machine)))),
        )
        if (clash.nevers.length > 0) count++
      }
    })
    expect(count).toBeGreaterThan(20)
  })

  test("a rule is idle, and the fewest others that do its work", () => {
    const count = { alone: 0, pairs: 0, unlisted: 0 }
    always((model, context) => {
      const all = findings(model)
      if (all.length === 0) return
      const idle = new Map(idleRules(context).map((each) => [each.rule, each]))
      for (const [i, rule] of model.rules.entries()) {
        const acts = all.filter((evidence) => kleene(rule.condition, evidence))
        const struck = acts.flatMap((evidence) =>
          states(model)
            .filter((state) => strikes(rule, state))
            .map((state) => against(model, state, evidence)),
        )
        const covered = (by: readonly string[]) =>
          struck.every((exclusions) => isOut(exclusions, (name) => by.includes(name)))
        const others = [...new Set(struck.flat(2))].filter((name) => name !== `rule ${i}`)
        expect(idle.has(i)).toBe(acts.length > 0 && covered(others))
        if (!idle.has(i)) continue
        count[model.ruleset.second > 0 ? "pairs" : model.ruleset.unlisted > 0 ? "unlisted" : "alone"]++
        const { by, smallest } = idle.get(i)!.explain()
        expect(smallest).toBe(true)
        if (others.length <= 10) expect(by.length).toBe(fewest(others, covered))
      }
    }, 500)
    expect(Math.min(count.alone, count.pairs, count.unlisted)).toBeGreaterThan(20)
  })

  test("all spare idle rules together can go, and nothing changes", () => {
    let count = 0
    always((model, context) => {
      const spare = new Set(idleRules(context).flatMap((each) => (each.spare ? [each.rule] : [])))
      count += spare.size
      const left = {
        ...model,
        rules: tableOf<RuleIndex, Model["rules"][number]>(model.rules.filter((_, i) => !spare.has(i))),
      }
      for (const evidence of findings(model)) {
        for (const state of states(model)) {
          expect(against(left, state, evidence).length > 0).toBe(against(model, state, evidence).length > 0)
        }
      }
    })
    expect(count).toBeGreaterThan(50)
  })

  const size = (evidence: readonly number[]) => evidence.filter((cell) => cell >= 0).length
  const isRule = (name: string) => name.startsWith("rule")

  test("findings that leave no state, as few as can be, and as few rules", () => {
    const count = { alone: 0, pairs: 0, unlisted: 0 }
    let mattered = 0
    let blameless = 0
    always((model, context) => {
      const opposed = opposedPairs(context)
      const all = findings(model).filter((evidence) => {
        const acts = (rule: number) => kleene(model.rules[rule]!.condition, evidence) === true
        return !opposed.some((pair) => acts(pair.leaves) && acts(pair.against))
      })
      const outs = (evidence: readonly number[]) =>
        states(model).map((state) => against(model, state, evidence))
      const holes = all.filter((evidence) => {
        const lists = outs(evidence)
        const isHole = lists.every((list) => list.length > 0)
        const withoutRules = lists.every((list) => isOut(list, (name) => !isRule(name)))
        if (isHole && withoutRules) blameless++
        return isHole && !withoutRules
      })
      const found = contradictions(context)
      expect(found.length > 0).toBe(holes.length > 0)
      const [first] = found
      if (first === undefined) return
      count[model.ruleset.second > 0 ? "pairs" : model.ruleset.unlisted > 0 ? "unlisted" : "alone"]++
      expect(first.smallest).toBe(true)
      expect(size(first.findings)).toBe(Math.min(...holes.map(size)))
      const rulesOf = (evidence: readonly number[]) => {
        const lists = outs(evidence)
        return fewest([...new Set(lists.flat(2))].filter(isRule), (some) =>
          lists.every((list) => isOut(list, (name) => !isRule(name) || some.includes(name))),
        )
      }
      // Of all findings that few, those on which the fewest rules do it.
      const smallest = holes.filter((hole) => size(hole) === size(first.findings)).map(rulesOf)
      expect(first.rules.length).toBe(Math.min(...smallest))
      if (Math.max(...smallest) > Math.min(...smallest)) mattered++
      for (const { findings: evidence, rules } of found) {
        expect(holes.map((hole) => hole.join(" "))).toContain(evidence.join(" "))
        expect(rules.length).toBe(rulesOf(evidence))
      }
    }, 1500)
    expect(Math.min(count.alone, count.pairs)).toBeGreaterThan(20)
    expect(count.unlisted).toBeGreaterThan(5)
    expect(mattered).toBeGreaterThan(5)
    expect(blameless).toBeGreaterThan(50)
  })

  test("findings that nothing explains although no rule acts", () => {
    let count = 0
    always((model, context) => {
      const holes = findings(model).filter((evidence) =>
        states(model).every((state) => isOut(against(model, state, evidence), (name) => !isRule(name))),
      )
      const found = unexplained(context)
      expect(found !== undefined).toBe(holes.length > 0)
      if (found === undefined) return
      count++
      expect(found.smallest).toBe(true)
      expect(size(found.findings)).toBe(Math.min(...holes.map(size)))
      expect(holes.map((hole) => hole.join(" "))).toContain(found.findings.join(" "))
    }, 1500)
    expect(count).toBeGreaterThan(20)
  })

  test("gaps between rules: findings that make each of them false", () => {
    let count = 0
    always((model, context) => {
      const gaps = findings(model).filter((evidence) =>
        model.rules.every((rule) => kleene(rule.condition, evidence) === false),
      )
      const found = gapsInRules(context)
      expect(found.length > 0).toBe(gaps.length > 0)
      const [first] = found
      if (first === undefined) return
      count++
      expect(size(first.findings)).toBe(Math.min(...gaps.map(size)))
      for (const each of found) expect(gaps.map((gap) => gap.join(" "))).toContain(each.findings.join(" "))
    })
    expect(count).toBeGreaterThan(50)
  })

  test("rules that strike what a fault's own `shows` expect, and how much of it", () => {
    const count = { against: 0, agreed: 0 }
    always((model, context) => {
      const all = machines(model)
      if (all.length === 0) return
      const found = new Map(
        rulesAgainstShows(context).flatMap(({ rule, faults }) =>
          faults.map((each) => [`${rule} ${each.fault}`, each.chance] as const),
        ),
      )
      for (const [i, rule] of model.rules.entries()) {
        const read = model.readings.flatMap((_, r) => (mentions(rule.condition, r) ? [r] : []))
        for (const [fault, { chances }] of model.faults.entries()) {
          const own = read.filter((r) => chances[r] !== undefined)
          const sums = new Map<string, number>()
          const seen = new Set<string>()
          for (const machine of all) {
            const key = read.map((r) => machine[r]).join(" ")
            if (seen.has(key) || kleene(rule.condition, machine) !== true) continue
            seen.add(key)
            const others = read.filter((r) => !own.includes(r)).map((r) => machine[r])
            const chance = own.reduce((product, r) => product * chances[r]![machine[r]!]!, 1)
            sums.set(others.join(" "), (sums.get(others.join(" ")) ?? 0) + chance)
          }
          const most = Math.max(0, ...sums.values())
          const expected = rule.chance === 1 && strikes(rule, [fault]) && own.length > 0 && most > 0.02
          expect(found.has(`${i} ${fault}`)).toBe(expected)
          count[expected ? "against" : "agreed"]++
          if (expected) expect(found.get(`${i} ${fault}`)).toBeCloseTo(most, 9)
        }
      }
    })
    expect(Math.min(count.against, count.agreed)).toBeGreaterThan(50)
  })

  test("opposed rules, each pair once, with the fewest findings", () => {
    let count = 0
    always((model, context) => {
      const all = findings(model)
      const found = opposedPairs(context)
      const key = (a: number, b: number) => (a < b ? `${a} ${b}` : `${b} ${a}`)
      const expected = new Map<string, number>()
      for (const [i, rule] of model.rules.entries()) {
        if (rule.verb !== "leaves only" || rule.chance < 1) continue
        for (const [j, other] of model.rules.entries()) {
          if (i === j || other.chance < 1) continue
          if (!states(model).every((state) => strikes(rule, state) || strikes(other, state))) continue
          const both = all.filter(
            (evidence) => kleene(rule.condition, evidence) && kleene(other.condition, evidence),
          )
          if (both.length === 0) continue
          expected.set(
            key(i, j),
            Math.min(...both.map((evidence) => evidence.filter((cell) => cell >= 0).length)),
          )
        }
      }
      expect(found.map((pair) => key(pair.leaves, pair.against)).sort()).toEqual([...expected.keys()].sort())
      for (const pair of found) {
        count++
        expect(pair.explain().findings.filter((cell) => cell >= 0).length).toBe(
          expected.get(key(pair.leaves, pair.against)),
        )
      }
    })
    expect(count).toBeGreaterThan(50)
  })

  test("a dead fault, and the fewest rules that leave it nothing", () => {
    const count = { alone: 0, pairs: 0 }
    always((model, context) => {
      const all = machines(model)
      if (all.length === 0) return
      const dead = new Map(deadFaults(context).map((each) => [each.fault, each]))
      for (const fault of model.faults.keys()) {
        const own = states(model).filter((state) => state.includes(fault))
        const lists = all.flatMap((machine) => own.map((state) => against(model, state, machine)))
        expect(dead.has(fault)).toBe(lists.every((list) => list.length > 0))
        if (!dead.has(fault)) continue
        count[model.ruleset.second > 0 ? "pairs" : "alone"]++
        const least = fewest([...new Set(lists.flat(2))], (some) =>
          lists.every((list) => isOut(list, (name) => some.includes(name))),
        )
        expect(dead.get(fault)!.explain().by.length).toBe(least)
      }
    }, 600)
    expect(Math.min(count.alone, count.pairs)).toBeGreaterThan(10)
  })

  test("values that the `never`s take away altogether, and the fewest that do", () => {
    let count = 0
    always((model, context) => {
      const all = machines(model)
      const found = [...certainNever.run(context)]
      if (all.length === 0) {
        expect(found.length).toBe(1)
        return
      }
      const gone = model.readings.flatMap(({ cells, name }, r) =>
        cells.flatMap((_, c) => (all.some((machine) => machine[r] === c) ? [] : [{ r, c, name }])),
      )
      expect(found.length > 0).toBe(gone.length > 0)
      for (const { r, c, name } of gone) {
        count++
        const own = found.filter(({ message }) => message.includes(`\`${name}\``))
        expect(own.length).toBeGreaterThan(0)
        // The `never`s named with the value: as few as can be.
        const least = fewest(model.nevers, (some) =>
          machines({ ...model, nevers: some }).every((machine) => machine[r] !== c),
        )
        expect(own.map(({ labels }) => labels.length + 1)).toContain(least)
      }
    })
    expect(count).toBeGreaterThan(30)
  })

  test("rules that act on told answers alone, one of them not fully trusted", () => {
    let count = 0
    always((before) => {
      const readings = before.readings.map((reading, r) => ({
        ...reading,
        told: r % 2 === 0,
        trust: r % 4 === 0 ? 0.8 : 1,
      }))
      const model = { ...before, readings }
      const context = new Context(model)
      if (!context.possible) return
      const found = new Set([...hearsay.run(context)].map(({ span }) => span.start))
      const only = (evidence: readonly number[], keep: (r: number) => boolean) =>
        evidence.map((cell, r) => (keep(r) ? cell : -1))
      for (const rule of model.rules) {
        const alone = findings(model).some((evidence) => {
          const told = only(evidence, (r) => readings[r]!.told)
          const sure = only(told, (r) => readings[r]!.trust >= rule.chance)
          return kleene(rule.condition, told) === true && kleene(rule.condition, sure) !== true
        })
        const acts = model.faults.some((_, fault) => strikes(rule, [fault]))
        expect(found.has(rule.span.start)).toBe(alone && acts)
        if (alone) count++
      }
    })
    expect(count).toBeGreaterThan(30)
  })
})
