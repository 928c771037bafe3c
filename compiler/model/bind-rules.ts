import type { FaultsTree, NeverDecl, ProofDecl, RuleDecl } from "../syntax/syntax-tree.ts"
import { settle, sketch, valuesOf } from "./bind-conditions.ts"
import { minutes, times } from "./bind-quantities.ts"
import { needed } from "./bind-ruleset.ts"
import { type CutDomain, cellsIn } from "./cells.ts"
import type { Never, Proof, Rule } from "./model.ts"
import type { Scope } from "./scope.ts"

const FORM = "when CONDITION rule out FAULTS"

type Draft<T> = (cuts: readonly CutDomain[]) => T

/** `places`: the place of each fault, undefined where it is not known. */
export function bindRule(
  decl: RuleDecl,
  line: number,
  places: readonly (number | undefined)[],
  scope: Scope,
): Draft<Rule> | undefined {
  const { report } = scope
  const tree = needed(decl, decl.condition, "its condition", FORM, report)
  const verb = needed(decl, decl.verb, "`rule out` or `leaves only`", FORM, report)
  const list = needed(decl, decl.faults, "its faults", FORM, report)
  const condition = tree && sketch(tree, scope)
  const named = list && faultsOf(list, places, scope)
  if (condition === undefined || verb === undefined || named === undefined) return undefined
  const out =
    verb === "rule out"
      ? [...named].sort((a, b) => a - b)
      : [...places.keys()].filter((fault) => !named.has(fault))
  return (cuts) => ({
    ...(decl.name === undefined ? {} : { name: decl.name.text }),
    condition: settle(condition, cuts),
    out,
    verb,
    ...(decl.because === undefined ? {} : { because: decl.because.value }),
    ...(list === undefined ? {} : { faults: { span: list.span, except: list.except.length > 0 } }),
    span: decl.span,
    line,
  })
}

export function bindNever(decl: NeverDecl, scope: Scope): Draft<Never> | undefined {
  const tree = needed(decl, decl.condition, "its condition", "never CONDITION", scope.report)
  const condition = tree && sketch(tree, scope)
  return condition && ((cuts) => ({ condition: settle(condition, cuts), span: decl.span }))
}

export function bindProof(decl: ProofDecl, scope: Scope): Draft<Proof> | undefined {
  const { report, names } = scope
  const text = needed(decl, decl.text, "its text", 'proof "text"', report)
  const places = names.findAll(decl.places, ["part", "setup"], "`for`").map(({ index }) => index)
  const often = times(decl.times, "times", report) ?? 1
  const takes = minutes(decl.takes, "takes", report) ?? 0
  const expects = bindExpects(decl, scope)
  if (text === undefined || (decl.expects !== undefined && expects === undefined)) return undefined
  return (cuts) => ({
    text: text.value,
    times: often,
    timesAt: decl.times?.span ?? { ...text.span, start: text.span.end },
    minutes: takes,
    ...(expects === undefined
      ? {}
      : { expects: { reading: expects.reading, cells: cellsIn(cuts[expects.reading]!, expects.runs) } }),
    places,
    span: decl.span,
  })
}

function bindExpects({ expects }: ProofDecl, scope: Scope) {
  const entry = expects && scope.names.find(expects.reading, ["reading"], "`expects`")
  if (expects === undefined || entry === undefined) return undefined
  const runs = valuesOf(expects.condition, entry.index, scope)
  if (runs?.length !== 0) return runs && { reading: entry.index, runs }
  return scope.report.say(
    "no-value",
    expects.condition.span,
    `No value of \`${expects.reading.text}\` can meet this \`expects\`.`,
    {
      help: "As it stands, no machine would ever pass: widen the condition.",
    },
  )
}

/** The faults that a list names, exceptions taken out. */
function faultsOf(
  tree: FaultsTree,
  places: readonly (number | undefined)[],
  scope: Scope,
): ReadonlySet<number> | undefined {
  const { names, report } = scope
  const listed = new Set(names.findAll(tree.names, ["fault"], "A list of faults").map(({ index }) => index))
  let known = listed.size > 0 || tree.names.length === 0
  if (tree.anyIn !== undefined) {
    const place = names.find(tree.anyIn, ["part", "setup"], "`any in`")?.index
    known = place !== undefined && places.every((at) => at !== undefined)
    for (const [fault, at] of places.entries()) if (place !== undefined && at === place) listed.add(fault)
    if (known && listed.size === 0) {
      const text = tree.anyIn.text
      return report.say("no-faults", tree.anyIn.span, `No fault is declared in \`${text}\`.`, {
        help: `Declare one with \`fault NAME "label" in ${text} odds N\`, or name another place.`,
      })
    }
  } else if (tree.names.length === 0) return report.giveUp()
  for (const { index, name } of names.findAll(tree.except, ["fault"], "`except`")) {
    if (!listed.delete(index) && known) {
      report.say("idle-except", name.span, `\`${name.text}\` is not among the faults listed here.`, {
        labels: [{ span: tree.span, text: "the list" }],
        help: "Remove it from `except`, or mend the list.",
      })
    }
  }
  if (listed.size > 0 || !known) return listed
  return report.say("no-faults", tree.span, "`except` takes out every fault that the list names.", {
    help: "Leave at least one fault in the list, or remove it.",
  })
}
