import { type ChildProcess, spawn } from "node:child_process"
import { once } from "node:events"
import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { type AddressInfo, createServer } from "node:net"
import { loadavg, tmpdir } from "node:os"
import { join } from "node:path"
import { setTimeout as wait } from "node:timers/promises"
import autocannon from "autocannon"
import { pick, seeded } from "../../compiler/cases/worlds/random.ts"
import { sourceReader } from "../../compiler/cli/io/compile-file.ts"
import { compile, graphText } from "../../compiler/compile.ts"
import { type Entry, type Graph, open } from "../../compiler/run/index.ts"

export const title = "Serving the flagship over HTTP, beside an empty handler"

const root = join(import.meta.dirname, "../..")
const source = join(root, "rulesets/desktop-no-picture/desktop-no-picture.ruleout")
const seconds = 5
const connections = 8
const JOBS = 60

/** The log of a job at each of its steps. */
type Job = (readonly Entry[])[]

/** Answers at once, with as many bytes as a step has. */
const EMPTY = `
  import Fastify from "fastify"
  const app = Fastify()
  const [port, bytes] = process.argv.slice(1).map(Number)
  const body = { text: "x".repeat(bytes) }
  app.get("/health", async () => "ok")
  app.post("/*", async () => body)
  await app.listen({ port, host: "127.0.0.1" })`

/** Arguments of Node for a server at that port. */
type ServerArgs = (port: number) => readonly string[]

export async function run(print: (line: string) => void): Promise<void> {
  const { graph } = compile(source, sourceReader(source), { effort: 2000 })
  if (!graph) throw new Error("The flagship does not compile.")
  const folder = mkdtempSync(join(tmpdir(), "ruleout-serve-"))
  const file = join(folder, "flagship.graph.json")
  writeFileSync(file, graphText(graph))
  const address = `/graphs/${graph.ruleset.name}/next`
  const planned = drawn(graph)
  // Told out of order, so that no path of the graph has it.
  const cannot = { cannot: { test: graph.tests[0]!.name } }
  const advised = planned.map((logs) => logs.map((log) => [cannot, ...log]))
  const service: ServerArgs = (port) => [
    ...[join(root, "dist/cli/main.js"), "serve", file],
    ...["--port", String(port), "--rate", "0"],
  ]
  const bytes = JSON.stringify(open(graph).next).length
  const empty: ServerArgs = (port) => ["--input-type=module", "-e", EMPTY, String(port), String(bytes)]
  const load = () => loadavg()[0]!.toFixed(1)
  print(
    `${connections} connections a process, ${seconds} s each, the client on the same machine, ${JOBS} jobs in turn`,
  )
  print(`load of the machine before: ${load()}`)
  try {
    for (const count of [1, 2])
      for (const [what, args, jobs] of [
        ["empty handler", empty, planned],
        ["steps of the plan", service, planned],
        ["steps by advice", service, advised],
      ] as const)
        print(
          `${count === 1 ? "one process" : "two processes"}, ${what}: ${await measured(count, args, address, jobs)}; load ${load()}`,
        )
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Jobs drawn by chance: the log of each at all of its steps. */
function drawn(graph: Graph): Job[] {
  const random = seeded(1)
  return Array.from({ length: JOBS }, () => {
    const logs: Job = []
    let session = open(graph)
    while ("outcomes" in session.next && session.next.by === "graph") {
      logs.push(session.log)
      const { outcomes } = session.next
      const weights = outcomes.map(({ chance }) => chance)
      session = session.answer(outcomes[pick(weights, random)]!.found)
    }
    return logs
  })
}

async function measured(
  count: number,
  args: ServerArgs,
  address: string,
  jobs: readonly Job[],
): Promise<string> {
  const servers = await Promise.all(Array.from({ length: count }, () => started(args)))
  try {
    const fire = () => Promise.all(servers.map(({ url }) => fired(url + address, jobs)))
    // A process that has just begun knows no job yet: the first seconds count for another figure.
    const [cold, results] = [await fire(), await fire()]
    const most = (of: (result: autocannon.Result) => number) => Math.max(...results.map(of))
    const failed = results.reduce((sum, { errors, non2xx }) => sum + errors + non2xx, 0)
    const rateOf = (all: readonly autocannon.Result[]) =>
      Math.round(all.reduce((sum, { requests }) => sum + requests.average, 0)).toLocaleString("en")
    const latency = [most((r) => r.latency.p50), most((r) => r.latency.p90), most((r) => r.latency.p99)]
    return (
      `${rateOf(results)} requests/s, ${rateOf(cold)} in the first ${seconds} s; ${latency.join(", ")} ms at 50, 90 and 99 %` +
      `${failed === 0 ? "" : `; ${failed} FAILED`}`
    )
  } finally {
    for (const { child } of servers) child.kill("SIGTERM")
    await Promise.all(servers.map(({ child }) => once(child, "exit")))
  }
}

/** Each connection leads one job after the other, from its first step to its last. No two are alike: the minutes differ. */
function fired(url: string, jobs: readonly Job[]): Promise<autocannon.Result> {
  let begun = 0
  const setupClient = (client: autocannon.Client) => {
    let minutes = 0
    let left: Job = []
    const ask = () => {
      if (left.length === 0) {
        left = [...jobs[begun++ % jobs.length]!]
        minutes = begun
      }
      const log = left.shift()!.map((entry) => ("act" in entry ? { ...entry, minutes } : entry))
      client.setBody(JSON.stringify({ log }))
    }
    ask()
    client.on("response", ask)
  }
  const headers = { "content-type": "application/json" }
  return autocannon({ url, connections, duration: seconds, method: "POST", headers, setupClient })
}

async function started(args: ServerArgs): Promise<{ readonly child: ChildProcess; readonly url: string }> {
  const port = await freePort()
  const child = spawn(process.execPath, args(port), { cwd: root, stdio: ["ignore", "ignore", "inherit"] })
  const url = `http://127.0.0.1:${port}`
  for (let left = 100; left > 0; left--) {
    await wait(100)
    if (
      await fetch(`${url}/health`).then(
        (r) => r.ok,
        () => false,
      )
    )
      return { child, url }
  }
  child.kill()
  throw new Error("The server did not start.")
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, "127.0.0.1")
  await once(server, "listening")
  const { port } = server.address() as AddressInfo
  server.close()
  return port
}
