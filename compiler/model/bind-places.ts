import { money, percentage } from "./bind-quantities.ts"
import { needed } from "./bind-ruleset.ts"
import { cycles, SHOWN, shown } from "./cycles.ts"
import { toNumber } from "./fraction.ts"
import type { Place } from "./model.ts"
import type { PlaceDecl, Scope } from "./scope.ts"

/** Parts and setups, and that no setup is `behind` itself. */
export function bindPlaces(scope: Scope): Place[] {
  const { report, names } = scope
  const behind = scope.places.map((decl) => names.findAll(decl.behind, ["setup"], "`behind`"))
  const places = scope.places.flatMap((decl, i): Place[] => {
    const form = `${decl.kind} NAME "label"`
    const name = needed(decl, decl.name, "its name", form, report)
    const label = needed(decl, decl.label, "its label", form, report)
    const own = decl.kind === "part" ? part(decl, scope) : setup(decl, scope)
    if (name === undefined || label === undefined) return []
    const reach = behind[i]!.map(({ index }) => index)
    return [{ name: name.text, label: label.value, kind: decl.kind, ...own, behind: reach, span: decl.span }]
  })
  reportCycles(scope.places, behind, scope)
  return places
}

function part(decl: Extract<PlaceDecl, { kind: "part" }>, { report }: Scope) {
  return { price: money(decl.price, "price", report) ?? 0, spare: decl.spare !== undefined, cures: 1 }
}

function setup(decl: Extract<PlaceDecl, { kind: "setup" }>, { report, names }: Scope) {
  const of = decl.of && names.find(decl.of, ["part"], "`of`")
  const cures = percentage(decl.cures, "redo cures", report)
  return {
    price: 0,
    spare: false,
    cures: cures === undefined ? 1 : toNumber(cures),
    ...(of === undefined ? {} : { of: of.index }),
  }
}

/**
 * `of` closes no cycle: a seat that belongs to a part may well be what that part is behind. Only the way in can be
 * impossible, where setups must each be undone before the other.
 */
function reportCycles(
  decls: readonly PlaceDecl[],
  behind: readonly (readonly { index: number; name: NonNullable<PlaceDecl["name"]> }[])[],
  { report }: Scope,
): void {
  for (const { nodes } of cycles(behind.map((list) => list.map(({ index }) => index)))) {
    const names = nodes.map((node) => decls[node]?.name?.text ?? "")
    const closing = behind[nodes.at(-1)!]!.find(({ index }) => index === nodes[0])!
    report.say("cycle", closing.name.span, `\`behind\` leads in a cycle: ${shown(names)}.`, {
      labels: nodes.slice(1, SHOWN).map((node) => ({ span: decls[node]!.name!.span, text: "on the way" })),
      help: "None of these could be reached first: remove one `behind`.",
    })
  }
}
