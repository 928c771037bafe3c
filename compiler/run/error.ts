/** Every complaint of the runner: a graph that cannot be run, or an answer that cannot be read. The message is for the technician. */
export class RunError extends Error {
  override readonly name = "RunError"
}
