import { Counter, Gauge, Histogram, Registry } from "prom-client"
import type { ServedGraphs } from "./served-graphs.ts"

export interface Metrics {
  readonly contentType: string
  answered(route: string, status: number, seconds: number): void
  reloaded(isTaken: boolean): void
  text(): Promise<string>
}

/** What is counted, for Prometheus. Routes are counted, never addresses: nobody can make more series. */
export function makeMetrics(graphs: ServedGraphs): Metrics {
  const registry = new Registry()
  const registers = [registry]
  const requests = new Counter({
    name: "ruleout_requests_total",
    help: "Requests answered.",
    labelNames: ["route", "status"],
    registers,
  })
  const seconds = new Histogram({
    name: "ruleout_request_seconds",
    help: "Seconds from a request to its answer.",
    labelNames: ["route"],
    buckets: [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5],
    registers,
  })
  const reloads = new Counter({
    name: "ruleout_reloads_total",
    help: "Graphs read anew because their file changed.",
    labelNames: ["result"],
    registers,
  })
  new Gauge({
    name: "ruleout_graph_info",
    help: "1 for each graph that is served.",
    labelNames: ["name", "version", "digest"],
    registers,
    collect() {
      this.reset()
      for (const { graph, digest } of graphs.all)
        this.set({ name: graph.ruleset.name, version: graph.ruleset.version, digest }, 1)
    },
  })
  new Gauge({
    name: "process_resident_memory_bytes",
    help: "Resident memory.",
    registers,
    collect() {
      this.set(process.memoryUsage.rss())
    },
  })
  new Gauge({
    name: "process_cpu_seconds_total",
    help: "Seconds of processor so far.",
    registers,
    collect() {
      const { user, system } = process.cpuUsage()
      this.set((user + system) / 1e6)
    },
  })
  return {
    contentType: registry.contentType,
    answered(route, status, taken) {
      requests.inc({ route, status })
      seconds.observe({ route }, taken)
    },
    reloaded: (isTaken) => reloads.inc({ result: isTaken ? "taken" : "refused" }),
    text: () => registry.metrics(),
  }
}
