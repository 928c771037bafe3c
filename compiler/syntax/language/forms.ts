import { at, lookUp } from "../../run/lookup.ts"
import type { ClauseSpec } from "./clause-specs.ts"
import type { DeclarationSpec } from "./declaration-specs.ts"
import { DECLARATIONS } from "./statements.ts"

const BY_KEYWORD = new Map(DECLARATIONS.map((spec) => [spec.keyword, spec]))

/** Characters of a line of a form. */
const WIDTH = 100

/**
 * How the declarations of a kind are written, as the reference has it: the head, then the clauses in brackets where
 * they can be left out, `…` where they can be repeated, `or` between those of which there is one. One line for each 100 characters,
 * all but the first indented by two spaces.
 */
export function formsOf(kind: DeclarationSpec["kind"]): string[] {
  const specs = DECLARATIONS.filter((spec) => spec.kind === kind)
  return kind === "rule"
    ? ruleForms(specs)
    : specs.flatMap((spec) => wrapped([headOf(spec), ...clauseForms(spec.clauses)]))
}

/** A form without what can be left out: `takes N min`, `in PLACE odds N`. */
export function leastOf(form: string): string {
  return form.replace(/ ?\[[^[\]]*\]/g, "").replace(/, …/g, "")
}

/** The shortest declaration that is complete: its head, what is required, and of each group the first. */
export function leastForm(keyword: string): string {
  const spec = lookUp(BY_KEYWORD, keyword)
  const choices = (["kind", "type"] as const).map((group) =>
    spec.clauses.find((each) => each.group === group),
  )
  const verdict = spec.clauses.find(isVerdict)
  const needed = [...choices, verdict].filter((clause) => clause !== undefined)
  const required = spec.clauses.filter((clause) => clause.required)
  return leastOf([headOf(spec), ...[...required, ...needed].map(({ form }) => form)].join(" "))
}

function isVerdict({ argument }: ClauseSpec): boolean {
  return argument === "faults"
}

function headOf({ keyword, head }: DeclarationSpec): string {
  return `${keyword} ${head}`
}

function clauseForms(clauses: readonly ClauseSpec[]): string[] {
  const groups = ["kind", "type"] as const
  const grouped = groups
    .map((group) => clauses.filter((clause) => clause.group === group))
    .filter((group) => group.length > 0)
    .map((group) => (at(group, 0).group === "type" ? "TYPE" : group.map(({ form }) => form).join(" or ")))
  return [...grouped, ...clauses.filter(({ group }) => group === undefined).map(clauseForm)]
}

function clauseForm({ form, repeats, required }: ClauseSpec): string {
  return required ? form : `[${form}]${repeats ? "…" : ""}`
}

/** `[rule NAME:] when CONDITION rule out FAULTS [N%] [because "reason"]`, for each verdict. */
function ruleForms([spec]: readonly DeclarationSpec[]): string[] {
  if (spec === undefined) return []
  const verdicts = spec.clauses.filter(isVerdict)
  const others = spec.clauses.filter((clause) => !isVerdict(clause)).map(clauseForm)
  return verdicts.flatMap(({ form }) => wrapped([`[rule NAME:] ${headOf(spec)}`, form, ...others]))
}

function wrapped(pieces: readonly string[]): string[] {
  const lines: string[] = []
  let line = ""
  for (const piece of pieces) {
    if (line !== "" && line.length + 1 + piece.length > WIDTH) {
      lines.push(line)
      line = `  ${piece}`
    } else line += line === "" ? piece : ` ${piece}`
  }
  return [...lines, line]
}
