import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { check } from "../../compiler/check/check.ts"
import { applyChanges } from "../../compiler/diagnostics/apply-edits.ts"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import {
  type Comparison,
  type Draft,
  type DraftCondition,
  draftFrom,
  isMetered,
  meets,
  sourceOf,
  values,
} from "../support/drafts.ts"
import { modelFrom } from "./text.ts"

/** Codes that speak of single clauses: what must be found is counted out over all values, from the draft alone. */
const drafts = fc
  .gen()
  .map((g) => draftFrom({ int: (from, to) => g(fc.integer, { min: from, max: Math.max(from, to) }) }))

/** `found` says of a finding what `expected` says of the draft; both lists must be the same. */
function compared(
  code: string,
  expected: (draft: Draft) => readonly string[],
  found: (finding: Diagnostic, at: string) => string,
): Map<string, number> {
  const counts = new Map<string, number>()
  fc.assert(
    fc.property(drafts, (draft) => {
      const text = sourceOf(draft)
      const findings = check(modelFrom(text)).filter((each) => each.code === code)
      const wanted = [...expected(draft)].sort()
      expect(
        findings.map((each) => found(each, text.slice(each.span.start, each.span.end))).sort(),
        text,
      ).toEqual(wanted)
      for (const each of wanted) {
        const kind = each.split(" ")[0]!
        counts.set(kind, (counts.get(kind) ?? 0) + 1)
      }
      if (wanted.length === 0) counts.set("none", (counts.get("none") ?? 0) + 1)
    }),
    { numRuns: 400, seed: 3 },
  )
  return counts
}

function comparisons(condition: DraftCondition): Comparison[] {
  if (condition.kind === "in") return [condition]
  return condition.kind === "not" ? comparisons(condition.item) : condition.items.flatMap(comparisons)
}

const waits = ({ tests }: Draft) => tests.flatMap(({ onlyIf }) => onlyIf ?? [])
const inProofs = ({ proofs }: Draft) => proofs.flatMap(({ expects }) => expects ?? [])
const inShows = ({ faults }: Draft) => faults.flatMap(({ shows }) => shows)

describe("against a count over all values", () => {
  test("readings that nothing uses or nothing reads", () => {
    const counts = compared(
      "silent-reading",
      (draft) =>
        draft.readings.flatMap(({ name, told }) => {
          const speaks = ({ reading }: Comparison) => reading.name === name
          const used = [...[...draft.rules, ...waits(draft)].flatMap(comparisons), ...inShows(draft)].some(
            speaks,
          )
          const read = told || draft.tests.some(({ reads }) => reads.some((each) => each.name === name))
          if (!used) return inProofs(draft).some(speaks) ? [] : [`unused ${name}`]
          return read ? [] : [`unread ${name}`]
        }),
      ({ message }, at) => `${message.startsWith("No test") ? "unread" : "unused"} ${at.split(" ")[1]}`,
    )
    for (const kind of ["unused", "unread", "none"]) expect(counts.get(kind), kind).toBeGreaterThan(30)
  })

  test("values of which nothing speaks, between values of which something does", () => {
    const counts = compared(
      "uncovered-values",
      (draft) =>
        draft.readings.flatMap((reading) => {
          if (reading.quantity === undefined) return []
          const all = values(reading)
          const spoken = all.map((value) => {
            const picks = (condition: DraftCondition, positive: boolean): boolean => {
              if (condition.kind === "not") return picks(condition.item, !positive)
              if (condition.kind !== "in") return condition.items.some((item) => picks(item, positive))
              return condition.reading.name === reading.name && meets(condition, value) === positive
            }
            return [...draft.rules, ...inShows(draft)].some((each) => picks(each, true))
          })
          const gaps: string[] = []
          for (let from = spoken.indexOf(true); from >= 0; ) {
            const first = spoken.indexOf(false, from)
            const next = first < 0 ? -1 : spoken.indexOf(true, first)
            if (next >= 0) gaps.push(`gap ${reading.name} ${all[first]! / 100} ${all[next - 1]! / 100}`)
            from = next
          }
          return gaps
        }),
      ({ message }, at) => {
        const [, from, to = from] = /(?:between|at) ([\d.]+)(?: and ([\d.]+))? \S+\.$/.exec(message)!
        return `gap ${at.split(" ")[1]} ${from} ${to}`
      },
    )
    for (const kind of ["gap", "none"]) expect(counts.get(kind), kind).toBeGreaterThan(30)
  })

  test("conditions that no value meets, and limits that no value parts", () => {
    const counts = compared(
      "finer-than-meter",
      (draft) => {
        const conditions = [...draft.rules, ...draft.nevers, ...waits(draft)].flatMap(comparisons)
        const unmet = conditions.filter(
          (each) => each.reading.quantity && !values(each.reading).some((value) => meets(each, value)),
        )
        const alike = draft.readings.flatMap((reading) => {
          if (reading.quantity === undefined) return []
          const written = [
            ...conditions,
            ...inShows(draft),
            ...inProofs(draft),
            reading.normally ?? [],
          ].flat()
          const limits = written.flatMap((each) => {
            if (each.reading.name !== reading.name) return []
            return each.limits.map((at, i) => {
              // Whether the value at the limit itself lies below it.
              const under = ["at most", "above"].includes(each.relation) || i === 1
              return { at, below: values(reading).filter((v) => v < at || (under && v === at)).length }
            })
          })
          const sorted = [...new Set(limits.map(({ at }) => at))].sort((a, b) => a - b)
          const parts = (at: number) => limits.filter((each) => each.at === at).map(({ below }) => below)
          return sorted.flatMap((at, i) => {
            const before = sorted[i - 1]
            if (before === undefined || at - before >= reading.quantity!.by) return []
            const same = parts(at).some((below) => parts(before).includes(below))
            return same ? [`alike ${reading.name} ${before / 100} ${at / 100}`] : []
          })
        })
        return [...unmet.map(({ reading }) => `unmet ${reading.name}`), ...alike]
      },
      ({ message }) => {
        const [, name] = /`(\w+)`/.exec(message)!
        const limits = /limits ([\d.]+) and ([\d.]+) /.exec(message)
        return limits ? `alike ${name} ${limits[1]} ${limits[2]}` : `unmet ${name}`
      },
    )
    for (const kind of ["unmet", "alike", "none"]) expect(counts.get(kind), kind).toBeGreaterThan(30)
  })

  test("live steps without a caution", () => {
    const counts = compared(
      "live-without-caution",
      ({ tests }) =>
        tests.flatMap(({ name, does, reads, power, caution }) => {
          if (power !== "on" || caution) return []
          if (does !== "reads") return [`open ${name}`]
          return reads.some(({ quantity }) => quantity && isMetered(quantity.unit)) ? [`meter ${name}`] : []
        }),
      ({ message }, at) => `${message.includes(" meters ") ? "meter" : "open"} ${at.split(" ")[1]}`,
    )
    for (const kind of ["open", "meter", "none"]) expect(counts.get(kind), kind).toBeGreaterThan(30)
  })

  test("proofs too short to show that a fault is gone, and how long they must be", () => {
    const counts = compared(
      "short-proof",
      ({ trust, faults, proofs }) =>
        faults.flatMap(({ place, recurs }, f) => {
          const tries = proofs
            .filter(({ places }) => places.length === 0 || places.includes(place))
            .map(({ times = 1 }) => times)
          if (recurs === 100 || tries.length === 0) return []
          const doubt = BigInt(100 - (trust || 95))
          // (1 − recurs)^n ≤ doubt, in whole numbers; hopeless where no doubt is allowed.
          const enough = (n: number) => BigInt(100 - recurs) ** BigInt(n) * 100n <= doubt * 100n ** BigInt(n)
          // All tries of all proofs that count.
          const made = tries.reduce((sum, times) => sum + times, 0)
          if (enough(made)) return []
          if (doubt === 0n) return [`hopeless f${f}`]
          let least = 1
          while (!enough(least)) least++
          return [`short f${f} ${Math.max(...tries) + least - made}`]
        }),
      ({ message, help }) => {
        const fault = /`(f\d)`/.exec(message)![1]
        const least = /`times (\d+)`/.exec(help!)
        return least ? `short ${fault} ${least[1]}` : `hopeless ${fault}`
      },
    )
    for (const kind of ["short", "hopeless", "none"]) expect(counts.get(kind), kind).toBeGreaterThan(30)
  })

  test("the tries that are offered, written where they belong, are enough", () => {
    const counts = { written: 0, added: 0 }
    fc.assert(
      fc.property(drafts, (draft) => {
        const text = sourceOf(draft)
        const short = (source: string) =>
          check(modelFrom(source)).filter(({ code }) => code === "short-proof")
        for (const { labels, edits } of short(text)) {
          for (const { changes } of edits) {
            const at = changes[0]!.span
            counts[at.start < at.end ? "written" : "added"]++
            const left = short(applyChanges(text, changes)).map((each) => each.labels[0]!.span.start)
            expect(left).not.toContain(labels[0]!.span.start)
          }
        }
      }),
      { numRuns: 200, seed: 4 },
    )
    expect(Math.min(counts.written, counts.added)).toBeGreaterThan(10)
  })
})
