/** Serves until it is told to stop. */
import { displayName } from "../io/files.ts"
import type { SealPolicy } from "../io/seal-policy.ts"
import { UserError } from "../io/user-error.ts"
import { watchFiles } from "../io/watch-files.ts"
import { makeService, type Service, type ServiceOptions } from "./app.ts"
import { ServedGraphs } from "./served-graphs.ts"

export interface ListenOptions extends ServiceOptions {
  readonly host: string
  readonly port: number
}

/** Milliseconds that requests at hand have to end. */
const GRACE = 10_000

/** @throws UserError where a graph can't be taken, or nothing can be served at that address */
export async function serve(
  files: readonly string[],
  policy: SealPolicy,
  options: ListenOptions,
): Promise<void> {
  const graphs = await ServedGraphs.open(files, policy)
  const service = await makeService(graphs, options)
  await listen(service, options)
  const reload = (file: string) => void reloadGraph(graphs, service, file)
  const unwatch = watchFiles(graphs.files, reload)
  const reloadAll = () => graphs.files.forEach(reload)
  process.on("SIGHUP", reloadAll)
  await toldToStop()
  unwatch()
  process.off("SIGHUP", reloadAll)
  await stop(service)
}

async function listen({ app }: Service, { host, port }: ListenOptions): Promise<void> {
  try {
    await app.listen({ host, port, listenTextResolver: (address) => `Serving at ${address}` })
  } catch (error) {
    await app.close()
    throw listenError(error, host, port)
  }
}

function listenError(error: unknown, host: string, port: number): unknown {
  switch ((error as { code?: string }).code) {
    case "EADDRINUSE":
      return new UserError(
        `Port ${port} of ${displayName(host)} is in use.`,
        "Name another one with --port; 0 takes any that is free.",
      )
    case "EACCES":
      return new UserError(
        `Port ${port} can't be used: permission denied.`,
        "Name one from 1024 on with --port.",
      )
    case "EADDRNOTAVAIL":
    case "ENOTFOUND":
    case "EAI_AGAIN":
      return new UserError(
        `${displayName(host)} isn't an address of this machine.`,
        "Name another one with --host.",
      )
    default:
      return error
  }
}

/** What is served of the file stays where the new one can't be taken. */
async function reloadGraph(graphs: ServedGraphs, { app, metrics }: Service, file: string): Promise<void> {
  try {
    const { graph, digest } = await graphs.load(file)
    metrics.reloaded(true)
    app.log.info({ file, version: graph.ruleset.version, graph: digest }, "reloaded")
  } catch (error) {
    metrics.reloaded(false)
    const reason = error instanceof UserError ? error.message : String(error)
    app.log.error({ file, reason }, "not reloaded: the graph of before is served")
  }
}

/** By the signals of a terminal and of a service manager. */
function toldToStop(): Promise<void> {
  const signals = ["SIGINT", "SIGTERM"] as const
  return new Promise((resolve) => {
    const stop = () => {
      for (const signal of signals) process.off(signal, stop)
      resolve()
    }
    for (const signal of signals) process.on(signal, stop)
  })
}

/** Requests at hand are answered, new ones refused. A second signal ends the process at once, as it does by itself. */
async function stop({ app }: Service): Promise<void> {
  app.log.info("stopping")
  const deadline = setTimeout(() => app.server.closeAllConnections(), GRACE)
  await app.close()
  clearTimeout(deadline)
  app.log.info("stopped")
}
