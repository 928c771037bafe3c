import { itemAt, last, numberAt } from "../../run/lookup.ts"
import { ActivityQueue } from "./activity-queue.ts"
import { type Clause, type Literals, Trail } from "./trail.ts"

/**
 * A decision procedure for clauses over finite domains: conflict-driven clause learning with literals `x ∈ S`.
 *
 * A variable has up to 31 values and its domain is a bit mask, so "the reading is in one of these cells" is one
 * literal however many cells it names, and no clauses are spent on saying that a reading has exactly one value.
 * Learning resolves on the masks: from `x ∈ S ∨ A` and `x ∈ T ∨ B` follows `x ∈ S ∩ T ∨ A ∨ B`.
 *
 * Chosen by measurement (`npm run bench analysis`): multi-valued decision diagrams answer whether a rule is reachable
 * well up to some hundred rules, but on whether findings leave no fault they pass 300,000 nodes at 125 rules, where this
 * takes milliseconds; and their order of readings, on which all depends, would change while somebody types.
 *
 * Sources: J. P. Marques-Silva, K. A. Sakallah, "GRASP" (1999) for learning from the first unique implication point;
 * M. W. Moskewicz et al., "Chaff" (2001) for watched literals and activities; N. Eén, N. Sörensson, "An extensible
 * SAT-solver" (2003) for assumptions; C. Liu, A. Kuehlmann, M. W. Moskewicz, "CAMA: a multi-valued satisfiability
 * solver" (2003) and S. Jain, E. O'Mahony, M. Sellmann, "A complete multi-valued SAT solver" (2010) for the masks.
 */

/** `yes`: there is an assignment. `no`: there is none. `unknown`: the budget of conflicts ran out. */
export type Answer = "yes" | "no" | "unknown"

export class Solver {
  /** Conflicts met so far: the measure of work that budgets count in, the same on every machine. */
  conflicts = 0
  /** After `no`: the indexes of the assumptions that cannot hold together. */
  core: readonly number[] = []

  #sound = true
  readonly #trail = new Trail()
  readonly #watches: Clause[][] = []
  readonly #activity: number[] = []
  #learnts: Clause[] = []
  /** How many learnt clauses are kept before the idle ones are dropped. */
  #room = 800
  #bump = 1
  #clauseBump = 1
  readonly #queue = new ActivityQueue(this.#activity)

  // Scratch of conflict analysis: the mask of the literal being built, by variable.
  readonly #building: number[] = []
  /** Variables that have such a mask. */
  readonly #marked: number[] = []

  /** A fresh variable of `size` values, 1 to 31. */
  variable(size: number): number {
    const full = size >= 31 ? 0x7fffffff : (1 << size) - 1
    this.#watches.push([])
    this.#activity.push(0)
    this.#building.push(0)
    return this.#trail.variable(full)
  }

  /** What to try first until another value has been met with. */
  prefer(v: number, mask: number): void {
    this.#trail.backTo(0, this.#queue)
    this.#trail.saved[v] = mask
  }

  /** The values a variable can still have; after `yes`, one bit for every variable that was to be decided. */
  mask(v: number): number {
    return numberAt(this.#trail.domain, v)
  }

  /** Adds a clause; an empty one makes every later answer `no`. */
  add(literals: Literals): void {
    this.#trail.backTo(0, this.#queue)
    if (!this.#sound) return
    const merged = new Map<number, number>()
    for (let i = 0; i < literals.length; i += 2) {
      const v = numberAt(literals, i)
      merged.set(v, (merged.get(v) ?? 0) | numberAt(literals, i + 1))
    }
    const lits: number[] = []
    for (const [v, mask] of merged) {
      const open = mask & numberAt(this.#trail.domain, v)
      if (open === numberAt(this.#trail.domain, v)) return
      if (open !== 0) lits.push(v, open)
    }
    if (lits.length === 0) this.#sound = false
    else if (lits.length === 2) {
      this.#trail.narrow(numberAt(lits, 0), numberAt(lits, 1), undefined)
      if (this.#propagate() !== undefined) this.#sound = false
    } else this.#attach({ lits, learnt: false, activity: 0, dropped: false })
  }

  /**
   * Can all clauses and all assumptions (literals) hold together? `decide` lists the variables that matter: with all of
   * these fixed and nothing contradicted, the caller knows the others to follow.
   */
  solve(assumptions: Literals, decide: readonly number[], budget = Number.POSITIVE_INFINITY): Answer {
    this.core = []
    this.#trail.backTo(0, this.#queue)
    if (!this.#sound) return "no"
    this.#queue.fill(decide)
    const stopAt = this.conflicts + budget
    for (let round = 1; ; round++) {
      const answer = this.#search(assumptions, this.conflicts + 64 * luby(round), stopAt)
      if (answer !== undefined) return answer
      this.#trail.backTo(0, this.#queue)
      this.#queue.fill(decide)
      if (this.#learnts.length > this.#room) this.#forget()
    }
  }

  #search(assumptions: Literals, restartAt: number, stopAt: number): Answer | undefined {
    for (;;) {
      const conflict = this.#propagate()
      if (conflict !== undefined) {
        this.conflicts++
        if (this.#trail.levels.length === 0) {
          this.#sound = false
          return "no"
        }
        this.#learn(conflict)
        if (this.conflicts >= stopAt) return "unknown"
        continue
      }
      if (this.conflicts >= restartAt && this.#trail.levels.length > assumptions.length / 2) return undefined
      const level = this.#trail.levels.length
      if (level < assumptions.length / 2) {
        const v = numberAt(assumptions, 2 * level)
        const mask = numberAt(assumptions, 2 * level + 1)
        if ((numberAt(this.#trail.domain, v) & mask) === 0) {
          this.core = this.#trail.responsible(v, mask, level)
          return "no"
        }
        this.#trail.levels.push(this.#trail.entries.length)
        this.#trail.narrow(v, mask, undefined)
        continue
      }
      const v = this.#next()
      if (v < 0) return "yes"
      this.#trail.levels.push(this.#trail.entries.length)
      const open = numberAt(this.#trail.domain, v)
      const again = numberAt(this.#trail.saved, v) & open
      this.#trail.narrow(v, again !== 0 ? again & -again : open & -open, undefined)
    }
  }

  #next(): number {
    for (;;) {
      const v = this.#queue.pop()
      if (v < 0) return -1
      const open = numberAt(this.#trail.domain, v)
      if ((open & (open - 1)) !== 0) return v
    }
  }

  #propagate(): Clause | undefined {
    const trail = this.#trail
    const { domain, entries } = trail
    while (trail.head < entries.length) {
      const v = numberAt(entries, trail.head++)
      const list = itemAt(this.#watches, v)
      let kept = 0
      for (let i = 0; i < list.length; i++) {
        const clause = itemAt(list, i)
        if (clause.dropped) continue
        const lits = clause.lits
        const at = lits[0] === v ? 0 : 2
        if ((numberAt(domain, v) & numberAt(lits, at + 1)) !== 0) {
          list[kept++] = clause
          continue
        }
        const other = 2 - at
        const w = numberAt(lits, other)
        const mask = numberAt(lits, other + 1)
        const open = numberAt(domain, w)
        if ((open & ~mask) === 0) {
          list[kept++] = clause
          continue
        }
        let moved = false
        for (let k = 4; k < lits.length; k += 2) {
          const u = numberAt(lits, k)
          if ((numberAt(domain, u) & numberAt(lits, k + 1)) === 0) continue
          const m = numberAt(lits, k + 1)
          lits[k] = numberAt(lits, at)
          lits[k + 1] = numberAt(lits, at + 1)
          lits[at] = u
          lits[at + 1] = m
          itemAt(this.#watches, u).push(clause)
          moved = true
          break
        }
        if (moved) continue
        list[kept++] = clause
        if ((open & mask) === 0) {
          for (i++; i < list.length; i++) list[kept++] = itemAt(list, i)
          list.length = kept
          return clause
        }
        this.#trail.narrow(w, mask, clause)
      }
      list.length = kept
    }
    return undefined
  }

  /** Resolves back to the first unique implication point, learns its clause, goes back and asserts it. */
  #learn(conflict: Clause): void {
    const building = this.#building
    const marked = this.#marked
    const trail = this.#trail.entries
    const start = last(this.#trail.levels)
    let open = 0
    const take = (clause: Clause, except: number): void => {
      if (clause.learnt) this.#bumpClause(clause)
      const { lits } = clause
      for (let i = 0; i < lits.length; i += 2) {
        const y = numberAt(lits, i)
        if (y === except) continue
        const had = numberAt(building, y)
        const mask = had | (numberAt(lits, i + 1) & this.#trail.startOf(y))
        if (mask === had) continue
        if (had === 0) {
          marked.push(y)
          this.#bumpVariable(y)
        }
        building[y] = mask
        const earlier = this.#trail.domainAt(y, start)
        if ((had & earlier) === 0 && (mask & earlier) !== 0) open++
      }
    }
    take(conflict, -1)
    for (let i = trail.length - 1; open > 1; i--) {
      const x = numberAt(trail, i)
      const mask = numberAt(building, x)
      if (mask === 0 || (mask & numberAt(this.#trail.before, i)) === 0) continue
      const reason = itemAt(this.#trail.reasons, i)
      const { lits } = reason
      let own = 0
      for (let k = 0; k < lits.length; k += 2) if (lits[k] === x) own = numberAt(lits, k + 1)
      const earlier = this.#trail.domainAt(x, start)
      building[x] = mask & own
      if ((mask & own & earlier) === 0) open--
      take(reason, x)
    }
    this.#assert(start)
  }

  /** Turns the literals built by `learn` into a clause and uses it. */
  #assert(start: number): void {
    const building = this.#building
    const marked = this.#marked
    const lits: number[] = [0, 0]
    let back = 0
    for (const y of marked) {
      const mask = numberAt(building, y)
      building[y] = 0
      if (mask === 0) continue
      if ((mask & this.#trail.domainAt(y, start)) !== 0) {
        lits[0] = y
        lits[1] = mask
        continue
      }
      const level = this.#trail.levelOf(y, mask)
      lits.push(y, mask)
      if (level > back) {
        back = level
        const end = lits.length - 2
        const [v, m] = [numberAt(lits, 2), numberAt(lits, 3)]
        lits[2] = numberAt(lits, end)
        lits[3] = numberAt(lits, end + 1)
        lits[end] = v
        lits[end + 1] = m
      }
    }
    marked.length = 0
    this.#trail.backTo(back, this.#queue)
    this.#bump *= 1.05
    this.#clauseBump *= 1.001
    if (this.#bump > 1e100) this.#rescale()
    if (lits.length === 2) {
      this.#trail.narrow(numberAt(lits, 0), numberAt(lits, 1), undefined)
      return
    }
    const clause: Clause = { lits, learnt: true, activity: this.#clauseBump, dropped: false }
    this.#attach(clause)
    this.#learnts.push(clause)
    this.#trail.narrow(numberAt(lits, 0), numberAt(lits, 1), clause)
  }

  #attach(clause: Clause): void {
    itemAt(this.#watches, numberAt(clause.lits, 0)).push(clause)
    itemAt(this.#watches, numberAt(clause.lits, 2)).push(clause)
  }

  #bumpVariable(v: number): void {
    this.#activity[v] = numberAt(this.#activity, v) + this.#bump
    this.#queue.raised(v)
  }

  #bumpClause(clause: Clause): void {
    clause.activity += this.#clauseBump
  }

  #rescale(): void {
    for (let v = 0; v < this.#activity.length; v++) this.#activity[v] = numberAt(this.#activity, v) * 1e-100
    this.#bump *= 1e-100
  }

  /** Drops the half of the learnt clauses that took part in the fewest conflicts of late. */
  #forget(): void {
    const inUse = new Set(this.#trail.reasons)
    this.#learnts.sort((a, b) => b.activity - a.activity)
    const half = this.#learnts.length >> 1
    this.#learnts = this.#learnts.filter((clause, i) => {
      if (i < half || clause.lits.length <= 4 || inUse.has(clause)) return true
      clause.dropped = true
      return false
    })
    this.#room *= 1.05
  }
}

/** 1, 1, 2, 1, 1, 2, 4, …: restarts after M. Luby, A. Sinclair, D. Zuckerman (1993). */
export function luby(i: number): number {
  for (let k = 1; ; k++) {
    const full = 2 ** k - 1
    if (i === full) return 2 ** (k - 1)
    if (i < full) return luby(i - (2 ** (k - 1) - 1))
  }
}
