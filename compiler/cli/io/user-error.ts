/** Bad use or input: one line for the user, the next step, and exit code 2. */
export class Trouble extends Error {
  override readonly name = "Trouble"
  readonly hint: string | undefined

  constructor(message: string, hint?: string) {
    super(message)
    this.hint = hint
  }
}

/** 0: fine. 1: what was asked is not so, or there is a warning. 2: bad use, or input with an error in it. */
export type Exit = 0 | 1 | 2

/** What a command that only looks at its input ends with. */
export function exitOf({ errors, warnings }: { readonly errors: number; readonly warnings: number }): Exit {
  return errors > 0 ? 2 : warnings > 0 ? 1 : 0
}
