import type { FaultIndex, PlaceIndex, ReadingIndex, Table } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { leastForm } from "../syntax/language/forms.ts"
import type {
  FaultsItem,
  FaultsTree,
  NeverDecl,
  ProofDecl,
  ReadingCondition,
  RuleDecl,
} from "../syntax/syntax-tree.ts"
import { allRead } from "./all-read.ts"
import { bindCondition, overCells, valuesOf } from "./bind-conditions.ts"
import { minutes, percentage, times } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import { type CutDomain, cellsIn } from "./cells.ts"
import { toNumber } from "./fraction.ts"
import type { Never, Proof, Rule } from "./model.ts"
import type { Scope } from "./scope.ts"

const FORM = leastForm("when")

type Draft<T> = (cuts: Table<ReadingIndex, CutDomain>) => T

/** `places`: the place of each fault, undefined if it is not known. */
export function bindRule(
  decl: RuleDecl,
  line: number,
  places: Table<FaultIndex, PlaceIndex | undefined>,
  scope: Scope,
): Draft<Rule> | undefined {
  const { report } = scope
  const tree = required(decl, decl.condition, "its condition", FORM, report)
  const verb = required(decl, decl.verb, "`rule out` or `leaves only`", FORM, report)
  const { faults, because, ...head } = decl
  allRead(head)
  const list = required(decl, faults, "its faults", FORM, report)
  const condition = tree && bindCondition(tree, scope)
  const chance = percentage(decl.chance, verb ?? "rule out", report)
  const named = list && faultsOf(list, places, scope)
  if (condition === undefined || verb === undefined || named === undefined) return undefined
  const of = [...new Set(named.flatMap((faults) => [...faults]))].sort((a, b) => a - b)
  return (cuts) => ({
    ...(decl.name === undefined ? {} : { name: decl.name.text }),
    condition: overCells(condition, cuts),
    verb,
    of,
    chance: chance === undefined ? 1 : toNumber(chance),
    ...(because === undefined ? {} : { because: because.value }),
    ...(list === undefined ? {} : { faults: written(list, named) }),
    span: decl.span,
    line,
  })
}

function written(list: FaultsTree, named: readonly ReadonlySet<FaultIndex>[]): NonNullable<Rule["faults"]> {
  const items = list.items.map(({ span, except }, i) => ({
    of: [...at(named, i)].sort((a, b) => a - b),
    except: except.length > 0,
    span,
  }))
  return { items, span: list.span }
}

export function bindNever(decl: NeverDecl, scope: Scope): Draft<Never> | undefined {
  const tree = required(decl, decl.condition, "its condition", leastForm("never"), scope.report)
  const condition = tree && bindCondition(tree, scope)
  return condition && ((cuts) => ({ condition: overCells(condition, cuts), span: decl.span }))
}

export function bindProof(decl: ProofDecl, scope: Scope): Draft<Proof> | undefined {
  const { report, names } = scope
  const text = required(decl, decl.text, "its text", leastForm("proof"), report)
  const { times: said, takes: perTime, expects: clause, places: named, ...head } = decl
  allRead(head)
  const places = names.resolveAll(named, ["part", "setup"], "`for`").map(({ index }) => index)
  const often = times(said, "times", report) ?? 1
  const takes = minutes(perTime, "takes", report) ?? 0
  const expects = bindExpects(clause, scope)
  if (text === undefined || (clause !== undefined && expects === undefined)) return undefined
  return (cuts) => ({
    text: text.value,
    times: often,
    timesAt: said?.span ?? { ...text.span, start: text.span.end },
    minutes: takes,
    ...(expects === undefined
      ? {}
      : {
          expects: { reading: expects.reading, cells: cellsIn(at(cuts, expects.reading), expects.intervals) },
        }),
    places,
    span: decl.span,
  })
}

function bindExpects(expects: ReadingCondition | undefined, scope: Scope) {
  const entry = expects && scope.names.resolve(expects.reading, ["reading"], "`expects`")
  if (expects === undefined || entry === undefined) return undefined
  const intervals = valuesOf(expects.condition, entry.index, scope)
  if (intervals?.length !== 0) return intervals && { reading: entry.index, intervals }
  return scope.report.say(
    "no-value",
    expects.condition.span,
    `No value of \`${expects.reading.text}\` can meet this \`expects\`.`,
    {
      help: "As it stands, no machine would ever pass: widen the condition.",
    },
  )
}

/** The faults that each item of a list names, exceptions taken out. Undefined if none can be known to be named. */
function faultsOf(
  tree: FaultsTree,
  places: Table<FaultIndex, PlaceIndex | undefined>,
  scope: Scope,
): ReadonlySet<FaultIndex>[] | undefined {
  const { report } = scope
  const items = tree.items.map((item) => itemFaults(item, places, scope))
  if (items.length === 0) return report.giveUp()
  if (!items.every((item) => item !== undefined)) return undefined
  if (items.some(({ known, faults }) => faults.size > 0 || !known)) return items.map(({ faults }) => faults)
  return report.say("no-faults", tree.span, "`except` takes out every fault that the list names.", {
    help: "Leave at least one fault in the list, or remove it.",
  })
}

/** `known`: nothing that the item names is undeclared, so that what it lacks is lacking. */
function itemFaults(
  tree: FaultsItem,
  places: Table<FaultIndex, PlaceIndex | undefined>,
  scope: Scope,
): { faults: ReadonlySet<FaultIndex>; known: boolean } | undefined {
  const { names, report } = scope
  const faults = new Set(
    names.resolveAll(tree.names, ["fault"], "A list of faults").map(({ index }) => index),
  )
  let known = faults.size > 0
  if (tree.anyIn !== undefined) {
    const place = names.resolve(tree.anyIn, ["part", "setup"], "`any in`")?.index
    known = place !== undefined && places.every((at) => at !== undefined)
    for (const [fault, at] of places.entries()) if (place !== undefined && at === place) faults.add(fault)
    if (known && faults.size === 0) {
      const text = tree.anyIn.text
      return report.say("no-faults", tree.anyIn.span, `No fault is declared in \`${text}\`.`, {
        help: `Declare one with \`fault NAME "label" in ${text} odds N\`, or name another place.`,
      })
    }
  } else if (tree.names.length === 0) return report.giveUp()
  for (const { index, name } of names.resolveAll(tree.except, ["fault"], "`except`")) {
    if (!faults.delete(index) && known) {
      report.say("idle-except", name.span, `\`${name.text}\` is not among the faults listed here.`, {
        labels: [{ span: tree.span, text: "the list" }],
        help: "Remove it from `except`, or correct the list.",
      })
    }
  }
  return { faults, known }
}
