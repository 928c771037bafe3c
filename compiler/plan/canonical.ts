import type { Condition } from "../model/model.ts"
import { evaluate, FALSE } from "./condition.ts"
import { type Problem, readingsIn } from "./problem.ts"
import type { State } from "./state.ts"

/**
 * Forgets what can no longer matter, so that states which differ only in that become equal and are merged: findings
 * that no open condition asks for, and tests that could change nothing whatever came out. Both can only lose their
 * meaning once, since hypotheses only ever die; so a canonical state has the same best cost as the state it stands for.
 * Canonical states share their lists: those with equal evidence, or equal tests used, have the same list of it.
 */
export type Canonical = (state: State) => State

export function makeCanonical(problem: Problem): Canonical {
  const { faults, tests, model } = problem
  const readersOf = model.readings.map((_, r) =>
    model.tests.flatMap((t, i) => (t.reads.includes(r) ? [i] : [])),
  )
  const readsOfRule = problem.rules.map((rule) => [...readingsIn(rule.condition)])
  const readsOfNever = problem.nevers.map((never) => [...readingsIn(never)])
  const readsOfTest = model.tests.map((t) => (t.onlyIf ? [...readingsIn(t.onlyIf)] : []))
  const rereadable = readersOf.some((readers) => readers.length > 1)
  /** Faults that some test can make inactive: only then may equal distributions come apart later. */
  const canTurn = model.faults.map((fault) =>
    problem.work.some((w) => w.kind === "change" && (w.part === fault.place || w.cures[fault.place]! > 0)),
  )
  const isLive = new Uint8Array(faults)
  const isUncured = new Uint8Array(faults)
  let liveCount = 0
  const relevant = new Uint8Array(problem.readings)
  const useful = new Uint8Array(tests)
  let firm: Int16Array = new Int16Array(problem.readings)
  const done = new Uint8Array(tests)
  const found = new Int16Array(problem.readings)
  const sharedUsed = makeShared<Uint8Array>()
  const sharedEvidence = makeShared<Int16Array>()

  /** A condition that no further finding can make true. */
  const isClosed = (c: Condition) => evaluate(c, firm) === FALSE

  const markRelevant = (state: State) => {
    relevant.fill(0)
    // A reading that a test can still read again may change its cell, so a condition on it is not closed by it.
    firm = state.evidence
    if (rereadable) {
      firm = state.evidence.map((cell, r) => (readersOf[r]!.some((t) => !state.used[t]) ? -1 : cell))
    }
    for (let i = 0; i < problem.rules.length; i++) {
      const rule = problem.rules[i]!
      if (!isClosed(rule.condition) && rule.out.some((f) => isLive[f]))
        for (const r of readsOfRule[i]!) relevant[r] = 1
    }
    for (let i = 0; i < problem.nevers.length; i++) {
      if (!isClosed(problem.nevers[i]!)) for (const r of readsOfNever[i]!) relevant[r] = 1
    }
    for (let t = 0; t < tests; t++) {
      const only = model.tests[t]!.onlyIf
      if (only && !state.used[t] && !isClosed(only)) for (const r of readsOfTest[t]!) relevant[r] = 1
    }
  }

  /** Whether doing test t in some state that can follow may change a chance. */
  const canMatter = (t: number, anyInactive: boolean): boolean => {
    const work = problem.work[t]!
    const only = model.tests[t]!.onlyIf
    if (only && isClosed(only)) return false
    if (work.kind === "look") {
      for (const r of work.reads) if (relevant[r]) return true
      const told = model.tests[t]!.kind === "told"
      let first = -1
      let touched = 0
      for (const f of work.touches) {
        if (!isLive[f] || !(told || isUncured[f])) continue
        if (!told && (canTurn[f] || anyInactive)) return true
        const kind = work.kindOf[f]!
        if (first >= 0 && kind !== first) return true
        first = kind
        touched++
      }
      // All others show what is healthy.
      return touched > 0 && touched < liveCount
    }
    for (const place of work.touches) for (const f of problem.members[place]!) if (isUncured[f]) return true
    for (const f of work.unsure) if (isUncured[f]) return true
    // Every live uncured fault stays for certain; looking again says something only where some are inactive already.
    return false
  }

  return (state) => {
    isLive.fill(0)
    isUncured.fill(0)
    liveCount = 0
    for (const h of state.ids) {
      const f = h < faults ? h : h - faults
      if (!isLive[f]) liveCount++
      isLive[f] = 1
      if (h < faults) isUncured[h] = 1
    }
    markRelevant(state)
    const stack: number[] = []
    const anyInactive = state.fitted.length > 0 || (state.ids.at(-1) ?? 0) >= faults
    const looksAgain = anyInactive && (state.ids[0] ?? faults) < faults
    useful.fill(0)
    for (let t = 0; t < tests; t++) {
      if (state.used[t]) continue
      if ((looksAgain && problem.work[t]!.kind === "change") || canMatter(t, anyInactive)) {
        useful[t] = 1
        stack.push(t)
      }
    }
    // A test that opens the way to a useful one is useful.
    while (stack.length > 0) {
      for (const before of model.tests[stack.pop()!]!.after) {
        if (!state.used[before] && !useful[before]) {
          useful[before] = 1
          stack.push(before)
        }
      }
    }
    for (let t = 0; t < tests; t++) done[t] = state.used[t] || !useful[t] ? 1 : 0
    for (let r = 0; r < found.length; r++) found[r] = relevant[r] ? state.evidence[r]! : -1
    const { ids, weights, fitted } = state
    return {
      ids,
      weights,
      fitted,
      used: sharedUsed(done),
      evidence: sharedEvidence(found),
    }
  }
}

/** Keeps one copy of each list, and gives that for every list like it. */
function makeShared<T extends Uint8Array | Int16Array>(): (list: T) => T {
  const known = new Map<number, T[]>()
  return (list) => {
    let hash = 0
    for (let i = 0; i < list.length; i++) hash = (Math.imul(hash ^ list[i]!, 0x01000193) << 1) ^ (hash >>> 15)
    const key = hash & 0x3fff_ffff
    const alike = known.get(key)
    for (const each of alike ?? []) {
      let i = 0
      while (i < list.length && each[i] === list[i]) i++
      if (i === list.length) return each
    }
    const copy = list.slice() as T
    if (alike) alike.push(copy)
    else known.set(key, [copy])
    return copy
  }
}
