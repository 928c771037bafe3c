import type { Table } from "../run/indexes.ts"
import type { Name } from "../syntax/syntax-tree.ts"
import type { Report } from "./codes.ts"
import { cycles, MOST_SHOWN, renderCycle } from "./cycles.ts"

/** A declaration that a clause of another one names, and where it does. */
export interface NamedEdge<I extends number> {
  readonly index: I
  readonly name: Name
}

/** Declarations that lead back to themselves by a clause, each cycle where it closes. `help`: why there must be none. */
export function reportCycles<I extends number>(
  clause: string,
  help: string,
  decls: Table<I, { readonly name?: Name }>,
  edges: Table<I, readonly NamedEdge<I>[]>,
  report: Report,
): void {
  for (const { nodes, closing } of cycles(edges)) {
    const names = nodes.flatMap((node) => decls[node]?.name ?? [])
    const around = renderCycle(names.map(({ text }) => text))
    report.say("cycle", closing.name.span, `${clause} leads in a cycle: ${around}.`, {
      labels: names.slice(1, MOST_SHOWN).map(({ span }) => ({ span, text: "on the way" })),
      help: `${help}: remove one ${clause}.`,
    })
  }
}
