import { init } from "z3-solver"
import type { Condition, Model } from "../../compiler/model/model.ts"

/** The independent solver. */
export interface Z3 {
  /** The answers to the questions of a script, in order: satisfiable or not. */
  ask(script: string, count: number): Promise<boolean[]>
  /** Parses a script and stands ready, for measuring. */
  load(script: string): { time(count: number): Promise<{ processor: number; elapsed: number }> }
  end(): void
}

export async function startZ3(): Promise<Z3> {
  const { Context, em } = await init()
  const context = Context("main")
  const solver = new context.Solver("QF_FD")
  return {
    async ask(script, count) {
      // One solver for all: its memory is not given back.
      solver.reset()
      solver.fromString(script)
      const answers: boolean[] = []
      for (let i = 0; i < count; i++) {
        const answer = await solver.check(context.Bool.const(`q${i}`))
        if (answer === "unknown") throw new Error("z3 does not know")
        answers.push(answer === "sat")
      }
      return answers
    },
    load(script) {
      solver.reset()
      solver.fromString(script)
      return {
        async time(count) {
          const [from, start] = [process.cpuUsage(), performance.now()]
          for (let i = 0; i < count; i++) await solver.check(context.Bool.const(`q${i}`))
          const { user, system } = process.cpuUsage(from)
          return { processor: (user + system) / 1000, elapsed: performance.now() - start }
        },
      }
    },
    end: () => em.PThread.terminateAllThreads(),
  }
}

export interface Question {
  readonly about: string
  /** Assertions of this question alone. */
  readonly assert: readonly string[]
}

/** A ruleset, with its questions parted by the answer that is expected of them. */
export interface Case {
  readonly model: Model
  readonly yes: readonly Question[]
  readonly no: readonly Question[]
}

/**
 * SMT-LIB 2.6, asked under assumptions: `q0`, all questions with the answer yes are satisfiable, over all cases; `q1`, at
 * least one with the answer no is. Two checks for many rulesets, since a check costs 25 ms however small it is.
 */
export function scriptOf(cases: readonly Case[]): string {
  const lines = ["(declare-const q0 Bool)", "(declare-const q1 Bool)"]
  const none: string[] = ["false"]
  for (const [c, { model, yes, no }] of cases.entries()) {
    // Each question has a machine of its own, so that one check answers them all.
    for (const [i, question] of yes.entries()) {
      const copy = `${c}_${i}`
      const rules = [...machine(model, copy), ...question.assert.map((each) => named(each, copy))]
      lines.push(...declared(model, copy), ...rules.map((each) => `(assert (=> q0 ${each}))`))
    }
    const copy = `${c}_no`
    const either = no.map(({ assert }) => named(`(and true ${assert.join(" ")})`, copy))
    lines.push(...declared(model, copy))
    none.push(`(and ${machine(model, copy).join(" ")} (or false ${either.join(" ")}))`)
  }
  lines.push(`(assert (=> q1 (or ${none.join(" ")})))`)
  return lines.join("\n")
}

/** For measuring: one machine for all questions, question i under the assumption `qi`. */
export function scriptFor(model: Model, questions: readonly Question[]): string {
  const lines = [...declared(model, "all"), ...machine(model, "all").map((each) => `(assert ${each})`)]
  for (const [i, { assert }] of questions.entries()) {
    lines.push(
      `(declare-const q${i} Bool)`,
      ...assert.map((each) => `(assert (=> q${i} ${named(each, "all")}))`),
    )
  }
  return lines.join("\n")
}

function declared(model: Model, copy: string): string[] {
  return model.readings.flatMap((_, r) =>
    ["a", "e"].map((kind) => `(declare-const ${named(`${kind}${r}`, copy)} (_ BitVec 4))`),
  )
}

/** That it is a machine which no `never` forbids, and that the findings are of it. */
function machine(model: Model, copy: string): string[] {
  const lines = model.nevers.map((never) => `(not ${actual(never.condition)})`)
  for (const [r, { cells }] of model.readings.entries()) {
    lines.push(`(bvult a${r} ${value(cells.length)})`)
    // Not read: the value behind the cells.
    lines.push(`(or (= e${r} a${r}) (= e${r} ${value(cells.length)}))`)
  }
  return lines.map((line) => named(line, copy))
}

function named(text: string, copy: string): string {
  return text.replace(/\b([ae]\d+)\b/g, `$1_${copy}`)
}

/** True of the machine. */
export function actual(condition: Condition): string {
  if (condition.kind === "in") return atom(`a${condition.reading}`, condition.cells)
  if (condition.kind === "not") return `(not ${actual(condition.item)})`
  return `(${condition.kind} ${condition.items.map(actual).join(" ")})`
}

/** Known true of the findings (`want`), or known false. */
export function known(condition: Condition, want = true): string {
  if (condition.kind === "in")
    return atom(
      `e${condition.reading}`,
      condition.cells.map((flag) => flag === want),
    )
  if (condition.kind === "not") return known(condition.item, !want)
  const kind = (condition.kind === "and") === want ? "and" : "or"
  return `(${kind} ${condition.items.map((item) => known(item, want)).join(" ")})`
}

export function atom(variable: string, cells: readonly boolean[]): string {
  const values = cells.flatMap((flag, cell) => (flag ? [`(= ${variable} ${value(cell)})`] : []))
  return values.length === 0 ? "false" : values.length === 1 ? values[0]! : `(or ${values.join(" ")})`
}

function value(cell: number): string {
  return `#x${cell.toString(16)}`
}

interface Out {
  readonly rule?: number
  readonly actual: string
  readonly known: string
}

/** Whether a rule acts on a state once its condition is known true. */
export function acts({ verb, of }: Model["rules"][number], state: readonly number[]): boolean {
  const named = of.some((fault) => state.includes(fault))
  return verb === "rule out" ? named : !named
}

/** What can be wrong: one fault, two, or (no fault) something not listed. */
export function statesOf(model: Model): (readonly number[])[] {
  const faults = [...model.faults.keys()]
  const { second, unlisted } = model.ruleset
  return [
    ...faults.map((f) => [f]),
    ...(second > 0 ? faults.flatMap((f) => faults.slice(f + 1).map((g) => [f, g])) : []),
    ...(unlisted > 0 ? [[]] : []),
  ]
}

/** What rules a state out for certain, each as a formula on the machine and one on the findings. */
export function outs(model: Model, state: readonly number[]): Out[] {
  const list: Out[] = []
  for (const [i, rule] of model.rules.entries()) {
    if (rule.chance === 1 && acts(rule, state))
      list.push({ rule: i, actual: actual(rule.condition), known: known(rule.condition) })
  }
  if (state.length === 0) return list
  for (const [r, reading] of model.readings.entries()) {
    const own = state.flatMap((fault) => model.faults[fault]!.chances[r] ?? [])
    const shown = own.length > 0 ? own : [reading.healthy]
    const none = reading.cells.map((_, cell) => shown.every((chances) => chances[cell] === 0))
    if (none.includes(true)) list.push({ actual: atom(`a${r}`, none), known: atom(`e${r}`, none) })
  }
  return list
}

/** The questions behind six codes, asked of complete machines wherever the definition allows it. */
export function questionsOf(model: Model): Question[] {
  const states = statesOf(model).map((state) => ({ state, against: outs(model, state) }))
  const any = (list: readonly string[]) => (list.length === 0 ? "false" : `(or ${list.join(" ")} false)`)
  const questions: Question[] = [{ about: "possible", assert: [] }]
  for (const [i, rule] of model.rules.entries()) {
    questions.push({ about: `reach ${i}`, assert: [actual(rule.condition)] })
    const escapes = states
      .filter(({ state }) => acts(rule, state))
      .map(
        ({ against }) => `(not ${any(against.filter((each) => each.rule !== i).map((each) => each.known))})`,
      )
    questions.push({ about: `acts ${i}`, assert: [known(rule.condition), any(escapes)] })
  }
  const opposed: string[] = []
  for (const [i, rule] of model.rules.entries()) {
    if (rule.verb !== "leaves only" || rule.chance < 1) continue
    for (const [j, other] of model.rules.entries()) {
      if (i === j || other.chance < 1 || (j < i && other.verb === "leaves only")) continue
      if (!states.every(({ state }) => acts(rule, state) || acts(other, state))) continue
      const both = `(and ${actual(rule.condition)} ${actual(other.condition)})`
      questions.push({ about: `opposed ${i} ${j}`, assert: [both] })
      // Findings that are a hole by themselves stay one where every completion lets an opposed pair act.
      opposed.push(`(not (and ${known(rule.condition)} ${known(other.condition)}))`)
    }
  }
  const shown = (list: readonly Out[]) => list.filter(({ rule }) => rule === undefined)
  const left = states.map(({ against }) => `(not ${any(shown(against).map((each) => each.known))})`)
  questions.push({
    about: "hole",
    assert: [...states.map(({ against }) => any(against.map((each) => each.known))), any(left), ...opposed],
  })
  questions.push({
    about: "unexplained",
    assert: states.map(({ against }) => any(shown(against).map((each) => each.actual))),
  })
  for (const f of model.faults.keys()) {
    const own = states.filter(({ state }) => state.includes(f))
    const alive = own.map(({ against }) => `(not ${any(against.map((each) => each.actual))})`)
    questions.push({ about: `alive ${f}`, assert: [any(alive)] })
  }
  return questions
}
