/** What went wrong, where the caller may have an answer to it. */
export type UserErrorCode = "no-such-file"

/** Bad use or input: one line for the user, a hint at the next step, and exit code 2. */
export class UserError extends Error {
  override readonly name = "UserError"
  readonly hint: string | undefined
  readonly code: UserErrorCode | undefined

  constructor(message: string, hint?: string, code?: UserErrorCode) {
    super(message)
    this.hint = hint
    this.code = code
  }
}

/** 0: fine. 1: the answer is no, or there is a warning. 2: bad use, or input with an error in it. */
export type Exit = 0 | 1 | 2

/** What a command that only looks at its input ends with. */
export function exitOf({ errors, warnings }: { readonly errors: number; readonly warnings: number }): Exit {
  return errors > 0 ? 2 : warnings > 0 ? 1 : 0
}
