import { describe, expect, test } from "vitest"
import { Domain } from "../../compiler/check/logic/domain.ts"
import { conjunctions } from "../../compiler/check/logic/shared-conjunctions.ts"
import { luby, Solver } from "../../compiler/check/logic/solver.ts"
import { FindingSpace } from "../../compiler/check/logic/space.ts"
import { type Draw, seeded } from "../support/models.ts"
import { smallModel } from "./small.ts"

interface Problem {
  readonly sizes: readonly number[]
  readonly clauses: readonly (readonly (readonly [variable: number, values: readonly number[]])[])[]
}

function drawn(draw: Draw, variables: number, clauses: number): Problem {
  const sizes = Array.from({ length: variables }, () => draw.int(2, 5))
  return {
    sizes,
    clauses: Array.from({ length: clauses }, () =>
      Array.from({ length: draw.int(2, 3) }, () => {
        const variable = draw.int(0, variables - 1)
        const values = Array.from({ length: sizes[variable]! }, (_, i) => i).filter(
          () => draw.int(0, 3) === 0,
        )
        return [variable, values.length > 0 ? values : [0]] as const
      }),
    ),
  }
}

/** Every assignment in turn, under the assumption that the first `fixed` variables have value 0. */
function satisfiable({ sizes, clauses }: Problem, assumed: ReadonlyMap<number, number>): boolean {
  const at = sizes.map(() => 0)
  const visit = (v: number): boolean => {
    if (v === sizes.length)
      return clauses.every((clause) => clause.some(([x, values]) => values.includes(at[x]!)))
    for (let value = 0; value < sizes[v]!; value++) {
      if (assumed.has(v) && assumed.get(v) !== value) continue
      at[v] = value
      if (visit(v + 1)) return true
    }
    return false
  }
  return visit(0)
}

describe("the decision procedure", () => {
  test("answers as trying every assignment does, and its core is enough by itself", () => {
    const draw = seeded(1)
    const seen = { yes: 0, no: 0, learnt: 0 }
    for (let round = 0; round < 1000; round++) {
      const variables = draw.int(3, 6)
      const problem = drawn(draw, variables, draw.int(6, 26))
      const solver = new Solver()
      const domains = problem.sizes.map((size) => new Domain(solver, size))
      for (const clause of problem.clauses) {
        solver.add(clause.flatMap(([v, values]) => domains[v]!.literals((value) => values.includes(value))))
      }
      const decide = domains.flatMap((domain) => domain.variables)
      // Several questions to one solver: what it learnt for one must not spoil the next.
      for (let question = 0; question < 4; question++) {
        const assumed = new Map(
          Array.from({ length: draw.int(0, 3) }, () => {
            const v = draw.int(0, variables - 1)
            return [v, draw.int(0, problem.sizes[v]! - 1)] as const
          }),
        )
        const literals = [...assumed].flatMap(([v, value]) => domains[v]!.literals((each) => each === value))
        const answer = solver.solve(literals, decide)
        expect(answer).toBe(satisfiable(problem, assumed) ? "yes" : "no")
        if (answer === "yes") {
          seen.yes++
          const at = domains.map((domain) => domain.value())
          for (const clause of problem.clauses)
            expect(clause.some(([v, values]) => values.includes(at[v]!))).toBe(true)
          for (const [v, value] of assumed) expect(at[v]).toBe(value)
        } else {
          seen.no++
          const pairs = [...assumed]
          expect(satisfiable(problem, new Map(solver.core.map((i) => pairs[i]!)))).toBe(false)
        }
      }
      seen.learnt += solver.conflicts
    }
    expect(Math.min(seen.yes, seen.no, seen.learnt)).toBeGreaterThan(300)
  })

  test("domains too wide for one mask behave alike", () => {
    const draw = seeded(2)
    for (let round = 0; round < 60; round++) {
      const solver = new Solver()
      const domain = new Domain(solver, draw.int(31, 140))
      const left = new Set(Array.from({ length: domain.size }, (_, i) => i))
      for (let step = 0; step < 6; step++) {
        const kept = new Set([...left].filter(() => draw.int(0, 3) > 0))
        solver.add(domain.literals((value) => kept.has(value)))
        for (const value of [...left]) if (!kept.has(value)) left.delete(value)
        const answer = solver.solve([], domain.variables)
        expect(answer).toBe(left.size > 0 ? "yes" : "no")
        if (answer === "yes") expect(left.has(domain.value())).toBe(true)
      }
    }
  })

  test("the pigeons of Cook and Reckhow (1979): one more than the holes does not fit, as many do", () => {
    for (const holes of [3, 5, 6]) {
      for (const pigeons of [holes, holes + 1]) {
        const solver = new Solver()
        const at = Array.from({ length: pigeons }, () => new Domain(solver, holes))
        for (const [i, one] of at.entries()) {
          for (const other of at.slice(i + 1)) {
            for (let hole = 0; hole < holes; hole++) {
              solver.add([...one.literals((v) => v !== hole), ...other.literals((v) => v !== hole)])
            }
          }
        }
        expect(
          solver.solve(
            [],
            at.flatMap((each) => each.variables),
          ),
        ).toBe(pigeons > holes ? "no" : "yes")
      }
    }
  })

  test("a budget of conflicts ends with `unknown`, and asking again may go on", () => {
    const solver = new Solver()
    const at = Array.from({ length: 7 }, () => new Domain(solver, 6))
    for (const [i, one] of at.entries()) {
      for (const other of at.slice(i + 1)) {
        for (let hole = 0; hole < 6; hole++)
          solver.add([...one.literals((v) => v !== hole), ...other.literals((v) => v !== hole)])
      }
    }
    const decide = at.flatMap((each) => each.variables)
    expect(solver.solve([], decide, 10)).toBe("unknown")
    expect(solver.solve([], decide)).toBe("no")
  })

  test("restarts follow Luby, Sinclair and Zuckerman's sequence", () => {
    expect(Array.from({ length: 15 }, (_, i) => luby(i + 1))).toEqual([
      1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8,
    ])
  })

  test("equally active variables are decided in the order given, by the value preferred", () => {
    const solver = new Solver()
    const bits = Array.from({ length: 40 }, () => solver.variable(2))
    // No more than one of them can be 1.
    for (const [i, one] of bits.entries())
      for (const other of bits.slice(i + 1)) solver.add([one, 1, other, 1])
    for (const first of [bits[17]!, bits[3]!, bits[39]!]) {
      for (const bit of bits) solver.prefer(bit, 2)
      expect(solver.solve([], [first, ...bits])).toBe("yes")
      expect(bits.filter((bit) => solver.mask(bit) === 2)).toEqual([first])
    }
  })

  test("what lists share is said once, and each list still implies all of its nodes", () => {
    const draw = seeded(3)
    for (let round = 0; round < 40; round++) {
      const space = new FindingSpace(smallModel(draw), [])
      const nodes = Array.from({ length: draw.int(1, 40) }, () => space.every([]))
      const lists = Array.from({ length: 8 }, () => [...nodes.keys()].filter(() => draw.int(0, 9) > 0))
      const all = conjunctions(space, nodes, lists)
      for (const [i, list] of lists.entries()) {
        for (const place of nodes.keys()) {
          const answer = space.solver.solve([all[i]!, 2, nodes[place]!, 1], [...all, ...nodes])
          expect(answer).toBe(list.includes(place) ? "no" : "yes")
        }
      }
    }
  })
})
