import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { certainNever } from "../../compiler/check/codes/certain-never.ts"
import { hearsay } from "../../compiler/check/codes/hearsay.ts"
import { clashOf } from "../../compiler/check/codes/unreachable-rule.ts"
import { Context } from "../../compiler/check/context.ts"
import { contradictions } from "../../compiler/check/proofs/contradictions.ts"
import { deadFaults } from "../../compiler/check/proofs/dead-faults.ts"
import { idleRules } from "../../compiler/check/proofs/idle-rules.ts"
import { opposedPairs } from "../../compiler/check/proofs/opposed-rules.ts"
import type { Condition, Model } from "../../compiler/model/model.ts"
import { against, type Evidence, fewest, findings, kleene, machines } from "./brute.ts"
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
    let count = 0
    always((model, context) => {
      const all = findings(model)
      if (all.length === 0) return
      const idle = new Map(idleRules(context).map((each) => [each.rule, each]))
      for (const [i, rule] of model.rules.entries()) {
        const acts = all.filter((evidence) => kleene(rule.condition, evidence))
        const covered = (by: readonly string[]) =>
          acts.every((evidence) =>
            rule.out.every((fault) => against(model, fault, evidence).some((name) => by.includes(name))),
          )
        const others = [
          ...new Set(
            acts.flatMap((evidence) => rule.out.flatMap((fault) => against(model, fault, evidence))),
          ),
        ].filter((name) => name !== `rule ${i}`)
        expect(idle.has(i)).toBe(acts.length > 0 && covered(others))
        if (!idle.has(i)) continue
        count++
        const { by, smallest } = idle.get(i)!.explain()
        expect(smallest).toBe(true)
        if (others.length <= 10) expect(by.length).toBe(fewest(others, covered))
      }
    })
    expect(count).toBeGreaterThan(50)
  })

  test("all spare idle rules together can go, and nothing changes", () => {
    let count = 0
    always((model, context) => {
      const spare = new Set(idleRules(context).flatMap((each) => (each.spare ? [each.rule] : [])))
      count += spare.size
      const left = { ...model, rules: model.rules.filter((_, i) => !spare.has(i)) }
      for (const evidence of findings(model)) {
        for (const fault of model.faults.keys()) {
          expect(against(left, fault, evidence).length > 0).toBe(against(model, fault, evidence).length > 0)
        }
      }
    })
    expect(count).toBeGreaterThan(50)
  })

  test("findings that leave no fault, as few as can be, and as few rules", () => {
    let count = 0
    let mattered = 0
    always((model, context) => {
      const opposed = opposedPairs(context)
      const all = findings(model).filter((evidence) => {
        const acts = (rule: number) => kleene(model.rules[rule]!.condition, evidence) === true
        return !opposed.some((pair) => acts(pair.leaves) && acts(pair.against))
      })
      const holes = all.filter((evidence) =>
        model.faults.every((_, fault) => against(model, fault, evidence).length > 0),
      )
      const found = contradictions(context)
      expect(found.length > 0).toBe(holes.length > 0)
      const [first] = found
      if (first === undefined) return
      count++
      const size = (evidence: readonly number[]) => evidence.filter((cell) => cell >= 0).length
      expect(first.smallest).toBe(true)
      expect(size(first.findings)).toBe(Math.min(...holes.map(size)))
      const rulesOf = (evidence: readonly number[]) => {
        const names = model.faults.map((_, fault) => against(model, fault, evidence))
        return fewest([...new Set(names.flat())], (some) =>
          names.every((list) => list.some((name) => some.includes(name))),
        )
      }
      // Of all findings that few, those on which the fewest rules do it.
      const smallest = holes.filter((hole) => size(hole) === size(first.findings)).map(rulesOf)
      expect(first.by.length).toBe(Math.min(...smallest))
      if (Math.max(...smallest) > Math.min(...smallest)) mattered++
      for (const { findings: evidence, by } of found) {
        expect(holes.map((hole) => hole.join(" "))).toContain(evidence.join(" "))
        expect(by.length).toBe(rulesOf(evidence))
      }
    }, 1000)
    expect(count).toBeGreaterThan(50)
    expect(mattered).toBeGreaterThan(10)
  })

  test("opposed rules, each pair once, with the fewest findings", () => {
    let count = 0
    always((model, context) => {
      const all = findings(model)
      const found = opposedPairs(context)
      const key = (a: number, b: number) => (a < b ? `${a} ${b}` : `${b} ${a}`)
      const expected = new Map<string, number>()
      for (const [i, rule] of model.rules.entries()) {
        if (rule.verb !== "leaves only") continue
        for (const [j, other] of model.rules.entries()) {
          if (i === j || !model.faults.every((_, f) => rule.out.includes(f) || other.out.includes(f)))
            continue
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
    let count = 0
    always((model, context) => {
      const all = machines(model)
      if (all.length === 0) return
      const dead = new Map(deadFaults(context).map((each) => [each.fault, each]))
      for (const fault of model.faults.keys()) {
        const names = all.map((machine) => against(model, fault, machine))
        expect(dead.has(fault)).toBe(names.every((list) => list.length > 0))
        if (!dead.has(fault)) continue
        count++
        const least = fewest([...new Set(names.flat())], (some) =>
          names.every((list) => list.some((name) => some.includes(name))),
        )
        expect(dead.get(fault)!.explain().by.length).toBe(least)
      }
    })
    expect(count).toBeGreaterThan(20)
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
          const sure = only(told, (r) => readings[r]!.trust === 1)
          return kleene(rule.condition, told) === true && kleene(rule.condition, sure) !== true
        })
        expect(found.has(rule.span.start)).toBe(alone && rule.out.length > 0)
        if (alone) count++
      }
    })
    expect(count).toBeGreaterThan(30)
  })
})
