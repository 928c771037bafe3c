import { Collector } from "../diagnostics/collector.ts"
import type { Diagnostic, Span } from "../diagnostics/diagnostic.ts"
import { Lines } from "../diagnostics/line-index.ts"
import { type ReadingIndex, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { Declaration, ReadingDecl, Tree } from "../syntax/syntax-tree.ts"
import { grouped } from "../wording/figures.ts"
import { bindFault, placesOfFaults } from "./bind-faults.ts"
import { PictureList } from "./bind-pictures.ts"
import { bindFitGates, bindPlaces } from "./bind-places.ts"
import { bindDomain, bindReading, type ReadingDraft } from "./bind-readings.ts"
import { bindNever, bindProof, bindRule } from "./bind-rules.ts"
import { bindComplaint, bindRuleset, reportMissing } from "./bind-ruleset.ts"
import { bindScenarios } from "./bind-scenarios.ts"
import { bindAsking, bindTest, reportAfterCycles } from "./bind-tests.ts"
import { bindTexts } from "./bind-texts.ts"
import { type CutDomain, cut, type Domain } from "./cells.ts"
import { CODES, type Code, type Report } from "./codes.ts"
import type { Model, Place } from "./model.ts"
import type { LoadedPictures } from "./pictures/load-pictures.ts"
import type { Scenario } from "./scenario.ts"
import type { Scope } from "./scope.ts"
import { type Kind, SymbolTable } from "./symbol-table.ts"

/**
 * Trees to a model: names to indexes, conditions to cells, percentages to distributions. `trees` are in order of use,
 * the root first; `sources` gives the text of each file, from which rules take their line, `pictures` what was read of
 * each picture.
 *
 * Never fails: the diagnostics say all that is wrong, in the order of the files and of the places in them. There is a
 * model when no diagnostic is an error and the parser gave up nowhere. A declaration that it gave up in (`whole: false`)
 * defines its name, and causes no diagnostics of its own. Scenarios are no part of the model: they only speak of it.
 *
 * Works in two passes, since the last condition of the last file may still cut a cell: every binder reads its
 * declaration at once, reports, and hands back what is to be made of it once all cells are known.
 */
export function bind(
  trees: readonly Tree[],
  sources: ReadonlyMap<string, string> = new Map(),
  pictures: LoadedPictures = new Map(),
): { model?: Model; diagnostics: Diagnostic[]; scenarios: Scenario[] } {
  const files = [...new Map(trees.map((tree) => [tree.file, tree])).values()]
  const root = files[0]
  if (root === undefined) return { diagnostics: [], scenarios: [] }
  const declarations = files.flatMap((tree) => tree.declarations)
  const report = new Collector<Code>(
    CODES,
    declarations.filter(({ whole }) => !whole).map(({ span }) => span),
  )
  if (files.some(({ whole }) => whole === false)) report.giveUp()
  const names = declareAll(
    declarations,
    new SymbolTable(
      report,
      files.flatMap(({ misdeclared = [] }) => misdeclared),
    ),
  )
  const scope = scopeOf(declarations, names, new PictureList(pictures, report), report)
  const ruleset = bindRuleset(ofKind(declarations, "ruleset"), report)
  const complaint = bindComplaint(ofKind(declarations, "complaint"), report)
  reportMissing(declarations, root, report)
  const bare = bindPlaces(scope)
  const fitGates = bindFitGates(scope)
  const drafts = bindAll(declarations, scope, sources)
  const languages = bindTexts(declarations, scope, ruleset?.language)
  reportAfterCycles(scope)
  scope.domains.forEach((domain, reading) => {
    if (domain) reportTooManyLimits(domain, at(scope.readings, reading), report)
  })
  names.close()

  const diagnostics = ordered(report.diagnostics, files)
  if (report.failed || ruleset === undefined || complaint === undefined) return { diagnostics, scenarios: [] }
  const cuts = tableOf<ReadingIndex, CutDomain>(allBound(scope.domains).map(cut))
  const readings = tableOf<ReadingIndex, ReadingDraft>(allBound(drafts.readings)).map((draft, reading) =>
    draft(at(cuts, reading)),
  )
  const places = bare.map((place, i): Place => {
    const gate = fitGates[i]
    return gate ? { ...place, gate: gate(cuts) } : place
  })
  const model: Model = {
    ...scope.pictures.all,
    ruleset,
    complaint,
    places,
    faults: tableOf(allBound(drafts.faults).map((draft) => draft(readings, cuts))),
    readings,
    tests: tableOf(allBound(drafts.tests).map((draft) => draft(ruleset, complaint, places, cuts))),
    rules: tableOf(allBound(drafts.rules).map((draft) => draft(cuts))),
    nevers: allBound(drafts.nevers).map((draft) => draft(cuts)),
    proofs: tableOf(allBound(drafts.proofs).map((draft) => draft(cuts))),
    ...(languages.length > 0 && { languages }),
  }
  return { model, diagnostics, scenarios: allBound(drafts.scenarios) }
}

/** Each condition has a flag for each cell: so many flags are more than a machine holds. */
const MOST_FLAGS = 100_000_000

function reportTooManyLimits(
  { cuts, thresholds }: Domain,
  { name, span }: ReadingDecl,
  report: Report,
): void {
  if ((cuts.size + 1) * thresholds.length <= MOST_FLAGS) return
  const message = `${grouped(thresholds.length)} limits divide \`${name?.text}\` into ${grouped(cuts.size + 1)} ranges: that is more than can be kept apart.`
  report.say("too-fine", span, message, {
    help: "Let conditions share their limits, or make a table of fewer rows.",
  })
}

/** What became of each declaration: where nothing was reported, something did. */
function allBound<T>(drafts: readonly (T | undefined)[]): T[] {
  return drafts.map((draft, i) => {
    if (draft === undefined) throw new Error(`Declaration ${i} of its kind was dropped without a diagnostic`)
    return draft
  })
}

function ofKind<K extends Declaration["kind"]>(
  declarations: readonly Declaration[],
  ...kinds: K[]
): Extract<Declaration, { kind: K }>[] {
  return declarations.filter((decl): decl is Extract<Declaration, { kind: K }> =>
    (kinds as string[]).includes(decl.kind),
  )
}

function scopeOf(
  declarations: readonly Declaration[],
  names: SymbolTable,
  pictures: PictureList,
  report: Report,
): Scope {
  const readings = tableOf<ReadingIndex, ReadingDecl>(ofKind(declarations, "told", "reading"))
  return {
    report,
    names,
    pictures,
    places: tableOf(ofKind(declarations, "part", "setup")),
    faults: tableOf(ofKind(declarations, "fault")),
    readings,
    tests: tableOf(ofKind(declarations, "test")),
    rules: ofKind(declarations, "rule"),
    domains: readings.map((decl) => bindDomain(decl, report)),
  }
}

/** What needs the cells: to be finished when every condition has been read. Undefined if a declaration is broken. */
function bindAll(declarations: readonly Declaration[], scope: Scope, sources: ReadonlyMap<string, string>) {
  const placeOf = placesOfFaults(scope)
  const line = lineIn(sources)
  return {
    faults: scope.faults.map((_, i) => bindFault(i, placeOf[i], scope)),
    readings: scope.readings.map((_, i) => bindReading(i, scope)),
    tests: [
      ...scope.tests.map((_, i) => bindTest(i, scope)),
      ...scope.readings.flatMap((decl, i) => (decl.kind === "told" ? [bindAsking(i, decl, scope)] : [])),
    ],
    rules: scope.rules.map((decl) => bindRule(decl, line(decl.keyword), placeOf, scope)),
    nevers: ofKind(declarations, "never").map((decl) => bindNever(decl, scope)),
    proofs: ofKind(declarations, "proof").map((decl) => bindProof(decl, scope)),
    scenarios: bindScenarios(ofKind(declarations, "scenario"), scope),
  }
}

function declareAll(declarations: readonly Declaration[], names: SymbolTable): SymbolTable {
  const counts = new Map<string, number>()
  const group: Partial<Record<Declaration["kind"], string>> = { setup: "part", told: "reading" }
  for (const decl of declarations) {
    if (decl.kind === "use" || decl.kind === "never") continue
    if (decl.kind === "proof" || decl.kind === "scenario" || decl.kind === "texts") continue
    const key = group[decl.kind] ?? decl.kind
    const index = counts.get(key) ?? 0
    counts.set(key, index + 1)
    if (decl.name !== undefined) names.declare(decl.name, decl.kind satisfies Kind, index)
    else if (!decl.whole) names.declareNameless(decl.kind)
  }
  return names
}

/** In the order of the files, then of the places in them; at one place as they were found. */
function ordered(diagnostics: readonly Diagnostic[], files: readonly Tree[]): Diagnostic[] {
  const rank = new Map(files.map(({ file }, i) => [file, i]))
  const at = (diagnostic: Diagnostic): number => rank.get(diagnostic.span.file) ?? files.length
  return [...diagnostics].sort((a, b) => at(a) - at(b) || a.span.start - b.span.start)
}

/** Lines from 1; 0 if the text is not given. */
function lineIn(sources: ReadonlyMap<string, string>): (span: Span) => number {
  const lines = new Map<string, Lines>()
  return ({ file, start }) => {
    const text = sources.get(file)
    if (text === undefined) return 0
    const known = lines.get(file) ?? new Lines(text)
    lines.set(file, known)
    return known.at(start).line
  }
}
