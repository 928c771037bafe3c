import { type PlaceIndex, type Table, tableOf } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import type { PartDecl, SetupDecl } from "../syntax/syntax-tree.ts"
import { allRead } from "./all-read.ts"
import { bindRepairGate, type GateDraft } from "./bind-gates.ts"
import { money, percentage, work } from "./bind-quantities.ts"
import { required } from "./bind-ruleset.ts"
import { toNumber } from "./fraction.ts"
import type { Place } from "./model.ts"
import { reaches } from "./redone-setups.ts"
import { reportCycles } from "./report-cycles.ts"
import type { Scope } from "./scope.ts"

/** Parts and setups, and that no setup is `behind` itself. Only where nothing is reported is each at its index. */
export function bindPlaces(scope: Scope): Table<PlaceIndex, Omit<Place, "gate">> {
  const { report, names } = scope
  const behind = scope.places.map((decl) => names.resolveAll(decl.behind, ["setup"], "`behind`"))
  const places = tableOf<PlaceIndex, Omit<Place, "reach">>(
    scope.places.flatMap((decl, i) => {
      const form = `${decl.kind} NAME "label"`
      const name = required(decl, decl.name, "its name", form, report)
      const label = required(decl, decl.label, "its label", form, report)
      const { behind: _, pictures, ...rest } = decl
      const pictured = scope.pictures.of(pictures)
      const own = rest.kind === "part" ? part(rest, scope) : setup(rest, scope)
      if (name === undefined || label === undefined) return []
      const setups = at(behind, i).map(({ index }) => index)
      return [
        {
          ...{ name: name.text, label: label.value, kind: decl.kind, ...own, behind: setups },
          ...pictured,
          span: decl.span,
        },
      ]
    }),
  )
  // `of` closes no cycle: a seat that belongs to a part may well be what that part is behind. Only the way in can be
  // impossible, where setups must each be undone before the other.
  reportCycles("`behind`", "None of these could be reached first", scope.places, behind, report)
  const reach = reaches(places)
  return places.map((place, i) => ({ ...place, reach: at(reach, i) }))
}

/** What must be done or known before a new part is fitted. */
export function bindFitGates(scope: Scope): Table<PlaceIndex, GateDraft | undefined> {
  return scope.places.map((decl) => {
    if (decl.kind === "setup") return undefined
    const { fitAfter: after, fitAfterAny: afterAny, fitOnlyIf: onlyIf } = decl
    return bindRepairGate({ after, afterAny, onlyIf }, scope, "fit ")
  })
}

function part(decl: Omit<PartDecl, "behind" | "pictures">, { report }: Scope) {
  const { price, spare, fitTakes, fitCosts, fitWaits, ...rest } = decl
  const { fitAfter: _after, fitAfterAny: _afterAny, fitOnlyIf: _onlyIf, ...head } = rest
  allRead(head)
  const fit = work({ takes: fitTakes, costs: fitCosts, waits: fitWaits }, "fit", report)
  return {
    price: money(price, "price", report) ?? 0,
    spare: spare !== undefined,
    ...(fit === undefined ? {} : { fit }),
    cures: 1,
  }
}

function setup(decl: Omit<SetupDecl, "behind" | "pictures">, { report, names }: Scope) {
  const { of, cures, ...head } = decl
  allRead(head)
  const whole = of && names.resolve(of, ["part"], "`of`")
  const chance = percentage(cures, "redo cures", report)
  return {
    price: 0,
    spare: false,
    cures: chance === undefined ? 1 : toNumber(chance),
    ...(whole === undefined ? {} : { of: whole.index }),
  }
}
