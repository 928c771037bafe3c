import type { HeadField } from "../syntax/language/clause-specs.ts"

/**
 * Does nothing, and does not compile where a binder has left a clause of its declaration unread: `rest` is what is left of
 * the declaration without the clauses that have been read.
 */
export function allRead<R extends object>(
  _rest: R & ([Exclude<keyof R, HeadField>] extends [never] ? unknown : never),
): void {}
