import type { Graph, Recorded } from "../../compiler/run/index.ts"
import { Jobs, type JobsHost } from "../bench/jobs.ts"
import type { KeptJob } from "../bench/kept-job.ts"

interface Host extends Pick<JobsHost, "say" | "words"> {
  readonly record: (record: Recorded) => void
}

/** Jobs that last as long as the element does: whoever embeds it keeps what its events tell. */
export function ownJobs({ say, words, record }: Host): Jobs {
  const jobs = new Map<string, KeptJob>()
  const graphs = new Map<string, Graph>()
  return new Jobs({
    store: {
      all: async () => [...jobs.values()],
      async put(job) {
        jobs.set(job.key, job)
        return true
      },
      async drop(key) {
        jobs.delete(key)
      },
      graphOf: async ({ source }) => graphs.get(source),
      putGraph: (graph) => graphs.set(graph.ruleset.source, graph),
    },
    say,
    words,
    record: (_, recorded) => record(recorded),
    tell: () => {},
    keepLanguage: () => {},
  })
}
