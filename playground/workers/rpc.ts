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
      const called = functions[data.name]
      if (!called) throw new Error(`The worker has no function \`${data.name}\``)
      const value = await called(...(data.args as never[]))
      self.postMessage({ id: data.id, value } satisfies Answer)
    } catch (error) {
      self.postMessage({ id: data.id, failed: String(error) } satisfies Answer)
    }
  })
}

/** What `forward` needs of a worker. */
type Channel = Pick<Worker, "addEventListener" | "postMessage">

/**
 * A worker that is fetched when it is wanted: when one of its functions is called, but for those that `canWait`, or when
 * it is told to `start`. What was posted before waits for it.
 */
export class LateWorker implements Channel {
  readonly #make: () => Worker
  readonly #canWait: readonly string[]
  readonly #waiting: unknown[] = []
  readonly #listening: Parameters<Worker["addEventListener"]>[] = []
  #worker: Worker | undefined

  constructor(make: () => Worker, canWait: readonly string[] = []) {
    this.#make = make
    this.#canWait = canWait
  }

  start(): void {
    if (this.#worker) return
    this.#worker = this.#make()
    for (const each of this.#listening) this.#worker.addEventListener(...each)
    for (const each of this.#waiting.splice(0)) this.#worker.postMessage(each)
  }

  /** Ends what it is at, which is never answered; another one comes when it is wanted again. */
  end(): void {
    this.#worker?.terminate()
    this.#worker = undefined
  }

  addEventListener(...listened: Parameters<Worker["addEventListener"]>): void {
    this.#listening.push(listened)
    this.#worker?.addEventListener(...listened)
  }

  postMessage(call: unknown): void {
    if (!this.#canWait.includes((call as Call).name)) this.start()
    if (this.#worker) this.#worker.postMessage(call)
    else this.#waiting.push(call)
  }
}

/** `tell` gets what the worker posts unasked, under the key `told`. */
export function forward<F>(worker: Channel, tell: (told: unknown) => void = () => {}): Remote<F> {
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

/** One call at a time, each in a worker of its own, which ends with it. */
export class CallWorker<F> {
  readonly #make: () => Worker
  /** Ends the call under way. */
  #stop = () => {}

  constructor(make: () => Worker) {
    this.#make = make
  }

  /** Undefined where another call came before the answer, or `end`. Rejects where the worker fails. */
  call<T>(ask: (remote: Remote<F>) => Promise<T>): Promise<T | undefined> {
    this.#stop()
    const worker = this.#make()
    const answer = new Promise<T | undefined>((done, fail) => {
      this.#stop = () => done(undefined)
      worker.addEventListener("error", ({ message }) => fail(new Error(message)))
      ask(forward<F>(worker)).then(done, fail)
    })
    return answer.finally(() => worker.terminate())
  }

  end(): void {
    this.#stop()
  }
}
