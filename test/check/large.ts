import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import type { Model } from "../../compiler/model/model.ts"
import type { Draw } from "../support/models.ts"
import { indexed } from "../support/plain.ts"
import type { Cell, CellSet, Condition, Fault, Never, Reading, Rule } from "../support/plain-model.ts"

/** How large a generated ruleset is. */
export interface Extent {
  readonly rules: number
  readonly faults: number
  readonly readings: number
}

const span: Span = { file: "large.ruleout", start: 0, end: 1 }

/**
 * A ruleset that looks like a real one of its size. A machine has areas (supply, drive, controls, …) of about eight
 * faults, with readings of their own: half of them yes or no, a quarter of three or four values, a quarter quantities
 * cut into three to seven cells. A fault shows on one or two readings of its area, a third of them always. A rule asks for
 * one to three readings, nine times in ten of one area, one time in eight with an `or` or a `not`, and rules out one to four
 * faults of that area, or (one in twelve) leaves only some there. Authors know their machine: a rule never takes a fault
 * that it would take wrongly on the machine which that fault is usually seen in. One `never` for ten readings ties two
 * readings of an area together. `residual`: one fault that nothing speaks against, as every fixed ruleset has.
 */
export function realistic(draw: Draw, size: Extent, residual = true): Model {
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const several = <T>(items: readonly T[], count: number) => [
    ...new Set(Array.from({ length: count }, () => pick(items))),
  ]
  const areas = Math.max(1, Math.round(size.faults / 8))
  const areaOf = (index: number) => index % areas
  const readings = Array.from({ length: size.readings }, (_, i): Reading => {
    const kind = draw.int(1, 4)
    const count = kind <= 2 ? 2 : kind === 3 ? draw.int(3, 4) : draw.int(3, 7)
    return {
      name: `reading${i}`,
      question: `reading ${i}`,
      told: false,
      trust: 1,
      cells: Array.from({ length: count }, (_, c): Cell => ({ label: `v${c}`, value: `v${c}`, weight: 1 })),
      healthy: new Float64Array(count).fill(1 / count),
      span,
    }
  })
  const within = (area: number) => {
    const own = [...readings.keys()].filter((r) => areaOf(r) === area)
    return own.length > 0 ? own : [...readings.keys()]
  }
  const readingsIn = Array.from({ length: areas }, (_, area) => within(area))
  const run = (count: number): CellSet => {
    const from = draw.int(0, count - 1)
    const to = Math.min(count - 1, from + draw.int(0, Math.max(0, count - 2)))
    const cells = Array.from({ length: count }, (_, c) => c >= from && c <= to)
    return cells.every(Boolean) ? cells.map((_, c) => c > 0) : cells
  }
  const atom = (reading: number): Condition => ({
    kind: "in",
    reading,
    cells: run(readings[reading]!.cells.length),
    span,
  })
  const condition = (area: number, count: number): Condition => {
    const chosen = several(likely(90) ? readingsIn[area]! : [...readings.keys()], count)
    const items = chosen.map(
      (reading): Condition => (likely(6) ? { kind: "not", item: atom(reading), span } : atom(reading)),
    )
    if (items.length === 1) return items[0]!
    return { kind: likely(94) ? "and" : "or", items, span }
  }
  const faults = Array.from({ length: size.faults }, (_, i): Fault => {
    const shown = residual && i === 0 ? [] : several(readingsIn[areaOf(i)]!, draw.int(1, 2))
    const chances: (Float64Array | undefined)[] = readings.map(() => undefined)
    for (const r of shown) {
      const cells = run(readings[r]!.cells.length)
      const p = likely(33) ? 1 : 0.8
      const inside = cells.filter(Boolean).length
      chances[r] = Float64Array.from(cells, (flag) => (flag ? p / inside : (1 - p) / (cells.length - inside)))
    }
    return {
      name: `fault${i}`,
      label: `fault ${i}`,
      place: i,
      odds: draw.int(1, 9),
      recurs: 1,
      chances,
      shows: [],
      eased: [],
      span,
    }
  })
  const sound = readings.map((reading) => draw.int(0, reading.cells.length - 1))
  const usual = faults.map(({ chances }) =>
    sound.map((cell, r) =>
      chances[r] === undefined
        ? cell
        : [...chances[r].keys()].reduce((a, b) => (chances[r]![b]! > chances[r]![a]! ? b : a)),
    ),
  )
  const faultsIn = Array.from({ length: areas }, (_, area) =>
    [...faults.keys()].filter((f) => areaOf(f) === area && !(residual && f === 0)),
  )
  const rules = Array.from({ length: size.rules }, (_, i): Rule => {
    const area = areaOf(i)
    const leaves = likely(8)
    const pool = faultsIn[area]!.length > 0 ? faultsIn[area]! : [...faults.keys()]
    const when = condition(area, leaves ? draw.int(2, 3) : draw.int(1, 3))
    const right = pool.filter((f) => !met(when, usual[f]!))
    const named = right.length > 0 && !leaves ? several(right, draw.int(1, 4)) : []
    // The residual fault is kept, so that a fixed ruleset stays fixed.
    const kept = new Set([...several(pool, draw.int(2, 5)), ...(residual ? [0] : [])])
    const others = [...faults.keys()].filter((f) => !kept.has(f) && !met(when, usual[f]!))
    return {
      condition: when,
      of: leaves
        ? [...faults.keys()].filter((f) => !others.includes(f))
        : named.length > 0
          ? named
          : [pool[0]!],
      chance: 1,
      verb: leaves ? "leaves only" : "rule out",
      span,
      line: i + 1,
    }
  })
  const nevers = Array.from({ length: Math.floor(size.readings / 10) }, (_, i): Never => {
    const items = several(readingsIn[areaOf(i)]!, 2).map(atom)
    const other =
      items.length > 1
        ? items
        : [
            ...items,
            atom(pick([...readings.keys()].filter((r) => r !== (items[0] as { reading: number }).reading))),
          ]
    return { condition: { kind: "and", items: other, span }, span }
  })
  return modelWith(readings, faults, rules, nevers)
}

/**
 * The hardest kind of the question whether findings leave no fault: each fault is ruled out by three one-reading rules
 * drawn at random, which is random 3-SAT, at the ratio of 4.26 faults to a reading where it is hardest (D. Mitchell,
 * B. Selman, H. Levesque 1992).
 */
export function worst(draw: Draw, readings: number): Model {
  const all = Array.from(
    { length: readings },
    (_, i): Reading => ({
      name: `reading${i}`,
      question: `reading ${i}`,
      told: false,
      trust: 1,
      cells: ["yes", "no"].map((label): Cell => ({ label, value: label, weight: 1 })),
      healthy: new Float64Array([0.5, 0.5]),
      span,
    }),
  )
  const faults = Array.from({ length: Math.round(4.26 * readings) }, (_, i): Fault => {
    return {
      name: `fault${i}`,
      label: `fault ${i}`,
      place: i,
      odds: 1,
      recurs: 1,
      chances: all.map(() => undefined),
      shows: [],
      eased: [],
      span,
    }
  })
  const out = Array.from({ length: 2 * readings }, (): number[] => [])
  for (const f of faults.keys()) {
    const chosen = new Set<number>()
    while (chosen.size < 3) chosen.add(draw.int(0, readings - 1))
    for (const r of chosen) out[2 * r + draw.int(0, 1)]!.push(f)
  }
  const rules = out.flatMap((list, i): Rule[] => {
    if (list.length === 0) return []
    const condition: Condition = {
      kind: "in",
      reading: i >> 1,
      cells: i % 2 === 0 ? [true, false] : [false, true],
      span,
    }
    return [{ condition, of: list, chance: 1, verb: "rule out", span, line: i + 1 }]
  })
  return modelWith(all, faults, rules, [])
}

function met(condition: Condition, machine: readonly number[]): boolean {
  if (condition.kind === "in") return condition.cells[machine[condition.reading]!]!
  if (condition.kind === "not") return !met(condition.item, machine)
  const all = condition.items.map((item) => met(item, machine))
  return condition.kind === "and" ? all.every(Boolean) : all.some(Boolean)
}

function modelWith(readings: Reading[], faults: Fault[], rules: Rule[], nevers: Never[]): Model {
  return indexed<Model>({
    ruleset: {
      name: "large",
      title: "large",
      version: "0.0.0",
      money: "EUR",
      bench: 60,
      waiting: 0,
      comeback: 100,
      handover: 100,
      trust: 0.9,
      second: 0,
      unlisted: 0,
      hedged: true,
      span,
    },
    complaint: { name: "complaint", text: "it fails", minutes: 0, tries: 1, span },
    places: faults.map((fault) => ({
      name: `part_of_${fault.name}`,
      label: fault.name,
      kind: "part" as const,
      price: 10,
      spare: true,
      behind: [],
      reach: [],
      cures: 1,
      span,
    })),
    faults,
    readings,
    tests: readings.map((reading, r) => ({
      name: `read_${reading.name}`,
      instruction: "read",
      kind: "reads" as const,
      reads: [r],
      parts: [],
      redoes: [],
      minutes: 1,
      waits: 0,
      cost: 1,
      costs: 0,
      risks: [],
      needs: [],
      cautions: [],
      after: [],
      afterAny: [],
      tries: 1,
      span,
    })),
    rules,
    nevers,
    proofs: [],
  })
}
