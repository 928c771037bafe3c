import type { Span } from "../diagnostics/diagnostic.ts"
import type { Condition, Declaration, Name, Tree } from "../syntax/syntax-tree.ts"

/** One place where a name stands: where it is declared, or where it is used. */
export interface Occurrence {
  readonly name: string
  readonly span: Span
  readonly declares: boolean
  readonly declaration: Declaration
}

/** All names of these trees, in the order of the texts. Values of `one of` and units are no names. */
export function occurrences(trees: readonly Tree[]): Occurrence[] {
  return trees.flatMap((tree) => tree.declarations.flatMap((declaration) => inDeclaration(declaration)))
}

function inDeclaration(declaration: Declaration): Occurrence[] {
  const found: Occurrence[] = []
  const add = (name: Name | undefined, declares = false) => {
    if (name) found.push({ name: name.text, span: name.span, declares, declaration })
  }
  const uses = (names: readonly Name[]) => {
    for (const name of names) add(name)
  }
  const condition = (it: Condition | undefined) => {
    for (const reading of readingsIn(it)) add(reading)
  }
  if (declaration.kind !== "use" && declaration.kind !== "never" && declaration.kind !== "proof")
    add(declaration.name, true)
  switch (declaration.kind) {
    case "part":
      uses(declaration.behind)
      break
    case "setup":
      add(declaration.of)
      uses(declaration.behind)
      break
    case "fault":
      add(declaration.place)
      uses(declaration.shows.map((clause) => clause.what))
      break
    case "test":
      uses(declaration.reads)
      add(declaration.swaps)
      uses(declaration.redoes.map((item) => item.setup))
      uses(declaration.risks.map((item) => item.part))
      uses(declaration.after)
      condition(declaration.onlyIf)
      break
    case "rule":
      condition(declaration.condition)
      uses(declaration.faults?.names ?? [])
      add(declaration.faults?.anyIn)
      uses(declaration.faults?.except ?? [])
      break
    case "never":
      condition(declaration.condition)
      break
    case "proof":
      add(declaration.expects?.reading)
      uses(declaration.places)
      break
  }
  return found.sort((a, b) => a.span.start - b.span.start)
}

export function readingsIn(condition: Condition | undefined): Name[] {
  if (!condition) return []
  if (condition.kind === "compare") return condition.reading ? [condition.reading] : []
  if (condition.kind === "not") return readingsIn(condition.item)
  return condition.items.flatMap(readingsIn)
}

/** The name at an offset; the caret right behind a name still counts. */
export function occurrenceAt(
  all: readonly Occurrence[],
  file: string,
  offset: number,
): Occurrence | undefined {
  return all.find(({ span }) => span.file === file && span.start <= offset && offset <= span.end)
}
