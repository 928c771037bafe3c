import { insertAfter } from "../diagnostics/collector.ts"
import { MOST_TRIES } from "../run/check.ts"
import type { PlaceIndex, ReadingIndex, Table, TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { HeadField } from "../syntax/language/clause-specs.ts"
import { excludes } from "../syntax/language/clause-starts.ts"
import { leastForm, leastOf } from "../syntax/language/forms.ts"
import { test as TEST } from "../syntax/language/tests-and-rules.ts"
import type { Name, TestDecl, ToldDecl } from "../syntax/syntax-tree.ts"
import { listedNames } from "../wording/sentence.ts"
import { allRead } from "./all-read.ts"
import { bindGate } from "./bind-gates.ts"
import { minutes, money, percentage, times } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import type { CutDomain } from "./cells.ts"
import { toNumber } from "./fraction.ts"
import type { Complaint, Place, Ruleset, Test } from "./model.ts"
import { type NamedSetup, redone } from "./redone-setups.ts"
import { type NamedEdge, reportCycles } from "./report-cycles.ts"
import type { PlaceDecl, Scope } from "./scope.ts"

const FORM = leastForm("test")

/** The clauses of which a test has one. */
const KINDS = TEST.clauses.filter(({ group }) => group === "kind")

/** Those that can stand together all the same. */
const PAIRS = KINDS.flatMap(({ words, beside }) =>
  beside === undefined ? [] : [`\`${beside}\` with \`${words}\``],
).join(", ")

/** A told question without `takes`: half a minute (the reference's formulas.md, "Cost"). */
const ASKING_TAKES = 0.5

/** A test, once the places and the cells are known. */
export type TestDraft = (
  ruleset: Ruleset,
  complaint: Complaint,
  places: Table<PlaceIndex, Place>,
  cuts: Table<ReadingIndex, CutDomain>,
) => Test

export function bindTest(index: TestIndex, scope: Scope): TestDraft | undefined {
  const { report } = scope
  const decl = at(scope.tests, index)
  const name = required(decl, decl.name, "its name", FORM, report)
  const instruction = required(decl, decl.instruction, "its instruction", FORM, report)
  const kind = kindOf(decl, scope)
  const {
    needs,
    cautions,
    power,
    risks: risked,
    onlyIf,
    tries: often,
    after,
    afterAny,
    pictures,
    ...effort
  } = decl
  const { takes: minutesOf, waits: waited, costs: paid, ...what } = effort
  const work = bindWork(what, scope)
  const takes = minutes(minutesOf, "takes", report) ?? 0
  const waits = minutes(waited, "waits", report) ?? 0
  const costs = money(paid, "costs", report) ?? 0
  const risks = bindRisks(risked, scope)
  const pictured = scope.pictures.of(pictures, cautions)
  const gate = bindGate({ after, afterAny, onlyIf }, scope)
  const tries = times(often, "tries", report, MOST_TRIES)
  if (name === undefined || instruction === undefined || kind === undefined) return undefined
  return (ruleset, complaint, places, cuts) => ({
    name: name.text,
    instruction: instruction.value,
    kind,
    reads: work.reads,
    parts: work.parts,
    redoes: kind === "reads" ? [] : redone(places, work.redoes, work.parts),
    minutes: takes,
    waits,
    cost:
      (takes * ruleset.bench) / 60 +
      costs +
      risks.reduce((sum, { part, chance }) => sum + chance * at(places, part).price, 0),
    costs,
    risks,
    needs: needs.map(({ value }) => value),
    cautions: cautions.map(({ value }) => value),
    ...(power === undefined ? {} : { power: power.on ? ("on" as const) : ("off" as const) }),
    ...gate(cuts),
    tries: tries ?? complaint.tries,
    ...pictured,
    span: decl.span,
  })
}

/** Asking a told question, as the test that it is to the plan. */
export function bindAsking(index: ReadingIndex, decl: ToldDecl, { report }: Scope): TestDraft | undefined {
  const { name, question } = decl
  const takes = minutes(decl.takes, "takes", report) ?? ASKING_TAKES
  if (name === undefined || question === undefined) return undefined
  return (ruleset, complaint) => ({
    name: name.text,
    instruction: question.value,
    kind: "told",
    reads: [index],
    parts: [],
    redoes: [],
    minutes: takes,
    waits: 0,
    cost: (takes * ruleset.bench) / 60,
    costs: 0,
    risks: [],
    needs: [],
    cautions: [],
    after: [],
    afterAny: [],
    tries: complaint.tries,
    span: decl.span,
  })
}

type Kind = Exclude<Test["kind"], "told">

function kindOf(decl: TestDecl, { report }: Scope): Kind | undefined {
  const [first] = decl.kinds
  if (first === undefined) {
    return required(
      decl,
      undefined,
      `its ${listedNames(
        KINDS.map(({ words }) => words),
        "or",
      )}`,
      KINDS.map(({ form }) => leastOf(form)),
      report,
    )
  }
  const kinds = new Set<string>()
  for (const word of decl.kinds) {
    if (kinds.has(word.text) || !goesWith(word.text, kinds)) {
      report.say(
        "doubled-clause",
        word.span,
        `A test does one thing: \`${word.text}\` does not go with \`${first.text}\`.`,
        {
          labels: [{ span: first.span, text: "already said here" }],
          help: kinds.has(word.text)
            ? `List all that it ${word.text} after one \`${word.text}\`, with commas, or split the test in two.`
            : `Keep one of ${listedNames(KINDS.map(({ words }) => words))} (${PAIRS} is fine), or split the test in two.`,
        },
      )
    }
    kinds.add(word.text)
  }
  return kinds.has("swaps") ? "swaps" : (first.text as Kind)
}

/** Whether a test of these kinds can be of another one too; of what doesn't go together one is enough to say so. */
function goesWith(word: string, kinds: ReadonlySet<string>): boolean {
  if (kinds.size === 0) return true
  const own = KINDS.find(({ words }) => words === word)
  return KINDS.some((each) => own !== undefined && kinds.has(each.words) && !excludes(each, own))
}

/** What a test does to the machine. */
function bindWork(
  decl: Pick<TestDecl, Extract<keyof TestDecl, HeadField> | "reads" | "swaps" | "redoes" | "removes">,
  scope: Scope,
): { reads: ReadingIndex[]; parts: PlaceIndex[]; redoes: NamedSetup[] } {
  const { names, report } = scope
  const { reads: _reads, swaps: _swaps, redoes: _redoes, removes: _removes, ...head } = decl
  allRead(head)
  const reads = names.resolveAll(decl.reads, ["reading"], "`reads`").map((found) => found.index)
  const swaps = names.resolveAll(decl.swaps, ["part"], "`swaps`")
  const removes = names.resolveAll(decl.removes, ["part"], "`removes`")
  const cures = new Map(decl.redoes.map(({ name, chance }) => [name, percentage(chance, "redoes", report)]))
  const redoes = names
    .resolveAll(
      decl.redoes.map(({ name }) => name),
      ["setup"],
      "`redoes`",
    )
    .map(({ index, name }): NamedSetup => {
      const said = cures.get(name)
      return { setup: index, cures: said && toNumber(said) }
    })
  for (const { index, name } of swaps) warnOfNoSpare(name, at(scope.places, index), scope)
  for (const { text } of decl.kinds) if (decl[text as Kind].length === 0) report.giveUp()
  return { reads, parts: [...swaps, ...removes].map(({ index }) => index), redoes }
}

function warnOfNoSpare(swaps: Name, place: PlaceDecl, { report }: Scope): void {
  if (place.kind !== "part" || place.spare !== undefined || !place.whole) return
  const before = place.label?.span ?? place.name?.span
  report.say("not-spare", swaps.span, `\`${swaps.text}\` is swapped, but no known-good one is declared.`, {
    labels: [{ span: place.name?.span ?? place.keyword, text: "not `spare`" }],
    help: `Add \`spare\` to \`${swaps.text}\` if the shop has one to fit, or test it in another way.`,
    edits: before === undefined ? [] : [insertAfter(before, " spare", `Add \`spare\` to \`${swaps.text}\``)],
  })
}

function bindRisks(
  risks: TestDecl["risks"],
  { names, report }: Scope,
): { part: PlaceIndex; chance: number }[] {
  return risks.flatMap((risk) => {
    const entry = names.resolve(risk.name, ["part"], "`risks`")
    const chance = percentage(risk.chance, "risks", report)
    return entry === undefined || chance === undefined
      ? []
      : [{ part: entry.index, chance: toNumber(chance) }]
  })
}

/** Tests that wait for each other, so that none of them can ever be done. */
export function reportAfterCycles(scope: Scope): void {
  const { report, tests } = scope
  reportCycles("`after`", "None of these tests could come first", tests, impossibleWaits(scope), report)
}

/** A test that another one waits for. */
type Wait = NamedEdge<TestIndex>

/** By test: those that it waits for in vain; nothing for a test that can be done. */
function impossibleWaits({ tests, names }: Scope): Table<TestIndex, Wait[]> {
  const found = (list: readonly Name[]): Wait[] =>
    list.flatMap((name) => {
      const entry = names.lookup(name.text)
      return entry?.kind === "test" ? [{ index: entry.index, name }] : []
    })
  const all = tests.map((decl) => found(decl.after))
  // A name that nothing declares may be a test that can be done.
  const any = tests.map((decl) => {
    const waits = found(decl.afterAny)
    return waits.length === decl.afterAny.length ? waits : []
  })
  const impossible = new Set(tests.keys())
  const isVain = ({ index }: Wait): boolean => impossible.has(index)
  const vain = (test: TestIndex): Wait[] => {
    const waits = at(all, test).filter(isVain)
    if (waits.length > 0 || at(any, test).some((wait) => !isVain(wait))) return waits
    return at(any, test)
  }
  let before = -1
  while (impossible.size !== before) {
    before = impossible.size
    for (const test of impossible) if (vain(test).length === 0) impossible.delete(test)
  }
  return tests.map((_, test) => (impossible.has(test) ? vain(test) : []))
}
