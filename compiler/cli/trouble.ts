/** Bad use or input: one line for the user, the next step, and exit code 2. */
export class Trouble extends Error {
  override readonly name = "Trouble"
  readonly hint: string | undefined

  constructor(message: string, hint?: string) {
    super(message)
    this.hint = hint
  }
}

/** 0: fine. 1: there is something to mend in the ruleset, the cases or the job. 2: bad use or input. */
export type Exit = 0 | 1 | 2
