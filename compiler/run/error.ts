/**
 * Every complaint of the runner. The message is for the technician; `code` says what it is about: a graph that cannot be
 * run, a name that nothing has or that cannot be done now, an answer that cannot be read, or a job that has ended.
 */
export class RunError extends Error {
  override readonly name = "RunError"

  constructor(
    readonly code: "graph" | "name" | "answer" | "ended",
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options)
  }
}
