/**
 * A worker as a thin forwarder: the worker serves an object of functions, the page calls them as if they were its own
 * and awaits the answers. Besides the answers a worker may tell things unasked.
 */
type Functions = Record<string, (...args: never[]) => unknown>

interface Call {
  readonly id: number
  readonly name: string
  readonly args: readonly unknown[]
}

type Answer =
  | { readonly id: number; readonly value: unknown }
  | { readonly id: number; readonly failed: string }

export type Remote<F> = {
  readonly [K in keyof F]: F[K] extends (...args: infer A) => infer R
    ? (...args: A) => Promise<Awaited<R>>
    : never
}

/** Called once in a worker. */
export function serve(functions: Functions): void {
  self.addEventListener("message", async ({ data }: MessageEvent<Call>) => {
    try {
      const value = await functions[data.name]!(...(data.args as never[]))
      self.postMessage({ id: data.id, value } satisfies Answer)
    } catch (error) {
      self.postMessage({ id: data.id, failed: String(error) } satisfies Answer)
    }
  })
}

/** `tell` gets what the worker posts unasked, under the key `told`. */
export function forward<F>(worker: Worker, tell: (told: unknown) => void = () => {}): Remote<F> {
  const waiting = new Map<number, { done: (value: unknown) => void; fail: (reason: Error) => void }>()
  let next = 0
  worker.addEventListener("message", ({ data }: MessageEvent<Answer | { readonly told: unknown }>) => {
    if ("told" in data) return tell(data.told)
    const call = waiting.get(data.id)
    waiting.delete(data.id)
    if ("failed" in data) call?.fail(new Error(data.failed))
    else call?.done(data.value)
  })
  return new Proxy({} as Remote<F>, {
    get:
      (_, name: string) =>
      (...args: unknown[]) =>
        new Promise((done, fail) => {
          next += 1
          waiting.set(next, { done, fail })
          worker.postMessage({ id: next, name, args } satisfies Call)
        }),
  })
}
