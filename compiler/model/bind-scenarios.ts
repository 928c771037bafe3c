import type { Span } from "../diagnostics/diagnostic.ts"
import type { Act } from "../run/index.ts"
import { at } from "../run/lookup.ts"
import type {
  Finding,
  Name,
  NameWithOutcome,
  ScenarioDecl,
  Standing,
  TestDecl,
} from "../syntax/syntax-tree.ts"
import { allRead } from "./all-read.ts"
import { valuesOf } from "./bind-conditions.ts"
import { asTyped, percentage } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import { copyOf } from "./cells.ts"
import { toNumber } from "./fraction.ts"
import type { Scenario, ScenarioStep } from "./scenario.ts"
import type { Scope } from "./scope.ts"
import type { Kind } from "./symbol-table.ts"

type Bound = ScenarioStep | undefined

/** Each undefined where something in it is wrong, which has been reported. */
export function bindScenarios(decls: readonly ScenarioDecl[], shared: Scope): (Scenario | undefined)[] {
  // What a scenario finds cuts no cells: the graph is the same without it.
  const scope = { ...shared, domains: shared.domains.map((domain) => domain && copyOf(domain)) }
  return decls.map((decl) => bindScenario(decl, scope))
}

function bindScenario(decl: ScenarioDecl, scope: Scope): Scenario | undefined {
  const text = required(decl, decl.text, "its text", 'scenario "text"', scope.report)
  const { done, left } = doneSteps(decl, scope)
  const steps = [...done, ...expectedSteps(left, scope)]
  if (!steps.every((step) => step !== undefined) || text === undefined) return undefined
  if (!steps.some(({ kind }) => kind.startsWith("expects"))) {
    const what = "an `expects`"
    return required(decl, undefined, what, "expects next TEST", scope.report)
  }
  return {
    text: text.value,
    steps: steps.sort((a, b) => a.span.start - b.span.start),
    span: decl.span,
  }
}

/** What is found and done; `left`: the other clauses. */
function doneSteps(decl: ScenarioDecl, scope: Scope) {
  const { finds, does, putsBack, takesOut, keeps, replaces, fixes, looksAgain, closes, cannot, ...left } =
    decl
  const named = (name: Name, kind: Kind, clause: string, act: (name: string) => Act) =>
    scope.names.resolve(name, [kind], clause) && acts(act(name.text), "done", name.span)
  const looked =
    (kind: Kind, clause: string, act: (name: string) => Act) =>
    ({ name, outcome, span }: NameWithOutcome): Bound =>
      scope.names.resolve(name, [kind], clause) && acts(act(name.text), outcome, span)
  const done: Bound[] = [
    ...finds.map((finding) => bindFinding(finding, scope)),
    ...does.map((each) =>
      takesReadings(each.name, scope) ? undefined : looked("test", "`does`", test)(each),
    ),
    ...putsBack.map(looked("part", "`puts back`", putBack)),
    ...takesOut.map((name) => named(name, "part", "`takes out`", takeOut)),
    ...keeps.map((name) => named(name, "part", "`keeps`", keep)),
    ...replaces.map(looked("part", "`replaces`", replace)),
    ...fixes.map(looked("fault", "`fixes`", fix)),
    ...looksAgain.map(({ outcome, span }) => acts({ look: true }, outcome, span)),
    ...closes.map(({ ending, span }) => acts({ close: true }, ending, span)),
    ...cannot.map((name): Bound => {
      const entry = scope.names.resolve(name, ["test", "told"], "`cannot`")
      return entry && { kind: "cannot", test: name.text, span: name.span }
    }),
  ]
  return { done, left }
}

/** What is expected on the way. */
function expectedSteps(clauses: ReturnType<typeof doneSteps>["left"], scope: Scope): Bound[] {
  const { expectsNext, expectsPutBack, expectsTakeOut, expectsKeep, expectsReplace, expectsFix, ...others } =
    clauses
  const { expectsLook, expectsClose, expectsHandOver, expects, ...head } = others
  allRead(head)
  const next = (kinds: readonly Kind[], clause: string, act: (name: string) => Act) => (name: Name) =>
    scope.names.resolve(name, kinds, clause) && expected(act(name.text), name.span)
  return [
    ...expectsNext.map(next(["test", "told"], "`expects next`", test)),
    ...expectsPutBack.map(next(["part"], "`expects put back`", putBack)),
    ...expectsTakeOut.map(next(["part"], "`expects take out`", takeOut)),
    ...expectsKeep.map(next(["part"], "`expects keep`", keep)),
    ...expectsReplace.map(next(["part"], "`expects replace`", replace)),
    ...expectsFix.map(next(["fault"], "`expects fix`", fix)),
    ...expectsLook.map((span) => expected({ look: true }, span)),
    ...expectsClose.map((span) => expected({ close: true }, span)),
    ...expectsHandOver.map((span) => expected({ handOver: true }, span)),
    ...expects.map((standing) => bindStanding(standing, scope)),
  ]
}

const test = (name: string): Act => ({ test: name })
const putBack = (name: string): Act => ({ putBack: name })
const takeOut = (name: string): Act => ({ takeOut: name })
const keep = (name: string): Act => ({ keep: name })
const replace = (name: string): Act => ({ replace: name })
const fix = (name: string): Act => ({ fix: name })

type Found = Extract<ScenarioStep, { kind: "does" }>["found"]

function acts(act: Act, found: Found, span: Span): ScenarioStep {
  return { kind: "does", act, found, span }
}

function expected(act: Act, span: Span): ScenarioStep {
  return { kind: "expects next", act, span }
}

/** One value, checked as in a condition: a number as a limit would be. */
function bindFinding({ reading, value, number, span }: Finding, scope: Scope): Bound {
  const entry = scope.names.resolve(reading, ["reading", "told"], "`finds`")
  if (entry === undefined) return undefined
  const comparison = number === undefined ? "is" : "at least"
  const [values, numbers] = [value ? [value] : [], number ? [number] : []]
  const known = valuesOf({ kind: "compare", comparison, values, numbers, span }, entry.index, scope)
  const said = number ? asTyped(number) : value?.text
  return known && said !== undefined ? { kind: "finds", reading: reading.text, value: said, span } : undefined
}

function bindStanding({ fault, is, chance, span }: Standing, scope: Scope): Bound {
  const entry = scope.names.resolve(fault, ["fault"], "`expects`")
  const share = percentage(chance, is, scope.report)
  if (entry === undefined) return undefined
  if (is === "ruled out") return { kind: "expects fault", fault: fault.text, is: { bound: is }, span }
  if (share === undefined) return undefined
  return { kind: "expects fault", fault: fault.text, is: { bound: is, chance: toNumber(share) }, span }
}

/** A test that reads is known by what it finds; to say that it is done says nothing. */
function takesReadings(name: Name, { names, tests, report }: Scope): boolean {
  const entry = names.lookup(name.text)
  const test: TestDecl | undefined = entry?.kind === "test" ? tests[entry.index] : undefined
  if (entry === undefined || test === undefined || test.reads.length === 0) return false
  report.say("wrong-kind", name.span, `\`${name.text}\` takes readings and doesn't look for the complaint.`, {
    labels: [{ span: entry.span, text: "declared here" }],
    help: `Say what it finds, like \`finds ${at(test.reads, 0).text} is …\`.`,
  })
  return true
}
