import { Collector } from "../diagnostics/collector.ts"
import type { Diagnostic } from "../diagnostics/diagnostic.ts"
import type { Declaration, Tree } from "../syntax/syntax-tree.ts"
import { bindFault, placesOfFaults } from "./bind-faults.ts"
import { bindPlaces } from "./bind-places.ts"
import { bindDomain, bindReading } from "./bind-readings.ts"
import { bindNever, bindProof, bindRule } from "./bind-rules.ts"
import { bindComplaint, bindRuleset, reportMissing } from "./bind-ruleset.ts"
import { bindAsking, bindTest, reportAfterCycles } from "./bind-tests.ts"
import { cut } from "./cells.ts"
import { CODES, type Code } from "./codes.ts"
import type { Model } from "./model.ts"
import type { Scope } from "./scope.ts"
import { type Kind, Names } from "./symbol-table.ts"

/**
 * Trees to a model: names to indexes, conditions to cells, percentages to distributions. `trees` are in order of use,
 * the root first; `sources` gives the text of each file, from which rules take their line.
 *
 * Never fails: the findings say all that is wrong, in the order of the files and of the places in them. There is a
 * model when no diagnostic is an error and the parser gave up nowhere. A declaration that it gave up in (`whole: false`)
 * defines its name, and causes no findings of its own.
 *
 * Works in two passes, since the last condition of the last file may still cut a cell: every binder reads its
 * declaration at once, reports, and hands back what is to be made of it once all cells are known.
 */
export function bind(
  trees: readonly Tree[],
  sources: ReadonlyMap<string, string> = new Map(),
): { model?: Model; diagnostics: Diagnostic[] } {
  const files = [...new Map(trees.map((tree) => [tree.file, tree])).values()]
  const root = files[0]
  if (root === undefined) return { diagnostics: [] }
  const declarations = files.flatMap((tree) => tree.declarations)
  const report = new Collector<Code>(
    CODES,
    declarations.filter(({ whole }) => !whole).map(({ span }) => span),
  )
  if (files.some(({ whole }) => whole === false)) report.giveUp()
  const of = <K extends Declaration["kind"]>(...kinds: K[]): Extract<Declaration, { kind: K }>[] =>
    declarations.filter((decl): decl is Extract<Declaration, { kind: K }> =>
      (kinds as string[]).includes(decl.kind),
    )

  const names = declareAll(
    declarations,
    new Names(
      report,
      files.flatMap(({ lost = [] }) => lost),
    ),
  )
  const readings = of("told", "reading")
  const scope: Scope = {
    report,
    names,
    places: of("part", "setup"),
    faults: of("fault"),
    readings,
    tests: of("test"),
    rules: of("rule"),
    domains: readings.map((decl) => bindDomain(decl, report)),
  }

  const ruleset = bindRuleset(of("ruleset"), report)
  const complaint = bindComplaint(of("complaint"), report)
  reportMissing(declarations, root, report)
  const places = bindPlaces(scope)
  const placeOf = placesOfFaults(scope)
  const line = lineIn(sources)
  const drafts = {
    faults: scope.faults.map((_, i) => bindFault(i, placeOf[i], scope)),
    readings: readings.map((_, i) => bindReading(i, scope)),
    tests: [
      ...scope.tests.map((_, i) => bindTest(i, scope)),
      ...readings.flatMap((decl, i) => (decl.kind === "told" ? [bindAsking(i, scope)] : [])),
    ],
    rules: scope.rules.map((decl) => bindRule(decl, line(decl.keyword), placeOf, scope)),
    nevers: of("never").map((decl) => bindNever(decl, scope)),
    proofs: of("proof").map((decl) => bindProof(decl, scope)),
  }
  reportAfterCycles(scope)
  names.close()

  const diagnostics = ordered(report.diagnostics, files)
  if (report.failed || ruleset === undefined || complaint === undefined) return { diagnostics }
  const cuts = scope.domains.map((domain) => cut(domain!))
  const bound = drafts.readings.map((draft, i) => draft!(cuts[i]!))
  const model: Model = {
    ruleset,
    complaint,
    places,
    faults: drafts.faults.map((draft) => draft!(bound, cuts)),
    readings: bound,
    tests: drafts.tests.map((draft) => draft!(ruleset, places, cuts)),
    rules: drafts.rules.map((draft) => draft!(cuts)),
    nevers: drafts.nevers.map((draft) => draft!(cuts)),
    proofs: drafts.proofs.map((draft) => draft!(cuts)),
  }
  return { model, diagnostics }
}

function declareAll(declarations: readonly Declaration[], names: Names): Names {
  const counts = new Map<string, number>()
  const group: Partial<Record<Declaration["kind"], string>> = { setup: "part", told: "reading" }
  for (const decl of declarations) {
    if (decl.kind === "use" || decl.kind === "never" || decl.kind === "proof") continue
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

/** Lines from 1; 0 where the text is not given. */
function lineIn(sources: ReadonlyMap<string, string>): (span: { file: string; start: number }) => number {
  const counted = new Map<string, { offset: number; line: number }>()
  return ({ file, start }) => {
    const text = sources.get(file)
    if (text === undefined) return 0
    let { offset, line } = counted.get(file) ?? { offset: 0, line: 1 }
    if (offset > start) [offset, line] = [0, 1]
    for (; offset < start; offset++) if (text.charCodeAt(offset) === 10) line++
    counted.set(file, { offset, line })
    return line
  }
}
