import type { ReadingIndex, Table } from "../run/indexes.ts"
import type { Condition, Name } from "../syntax/syntax-tree.ts"
import { bindCondition, overCells } from "./bind-conditions.ts"
import type { CutDomain } from "./cells.ts"
import type { Gate } from "./model.ts"
import type { Scope } from "./scope.ts"

/** The clauses of a gate. */
interface GateClauses {
  readonly after: readonly Name[]
  readonly afterAny: readonly Name[]
  readonly onlyIf?: Condition | undefined
}

/** A gate, once the cells of the readings are known. */
export type GateDraft = (cuts: Table<ReadingIndex, CutDomain>) => Gate

/** `words`: what stands before `after` in the clauses, and what the action is called in messages. */
export function bindGate(clauses: GateClauses, scope: Scope, words = ""): GateDraft {
  const tests = (names: readonly Name[], clause: string) =>
    scope.names.resolveAll(names, ["test"], `\`${words}${clause}\``).map(({ index }) => index)
  const after = tests(clauses.after, "after")
  const afterAny = tests(clauses.afterAny, "after any of")
  const onlyIf = clauses.onlyIf && bindCondition(clauses.onlyIf, scope)
  return (cuts) => ({
    after,
    afterAny,
    ...(onlyIf === undefined ? {} : { onlyIf: overCells(onlyIf, cuts) }),
  })
}

/** The same of a repair, which has none if no clause says so. */
export function bindRepairGate(
  clauses: GateClauses,
  scope: Scope,
  words: "fit " | "fix ",
): GateDraft | undefined {
  const draft = bindGate(clauses, scope, words)
  const isSaid = clauses.after.length > 0 || clauses.afterAny.length > 0 || clauses.onlyIf !== undefined
  return isSaid ? draft : undefined
}
