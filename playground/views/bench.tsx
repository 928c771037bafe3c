import type { Recorded } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import { jobs, recordsAtHand, startSecondJob } from "../actions/bench.ts"
import { isFresh } from "../bench/jobs.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { Desk } from "../desk/desk.tsx"
import { ShelfCard } from "../desk/shelf-card.tsx"
import { defineBench } from "../element/ruleout-bench.tsx"
import { compiled, planState } from "../state/state.ts"
import { whyNoGraph } from "../state/why-no-graph.ts"
import { CodeText } from "../ui/code-text.tsx"
import { EmptyState } from "../ui/empty-state.tsx"
import { BoardPicture } from "../ui/station-pictures.tsx"

defineBench()

const station = {
  jobs,
  records: recordsAtHand,
  onCameBack: (record: Recorded) => void startSecondJob(record, jobs.current.peek()?.graph),
}

/** The jobs at the bench; a new one runs on the graph that was compiled last. */
export function Bench() {
  const job = jobs.current.value
  if (!job && jobs.open.value.length === 0) return <NoJob />
  const words = jobs.words.value
  return (
    <>
      <ruleout-bench station={station} lang={words.language} dir={words.direction}>
        {job && <NewerText job={job} />}
        {job && <Desk key={jobs.currentKey.value} jobs={jobs} job={job} />}
        {job && <ShelfCard words={words} name={job.graph.ruleset.name} />}
      </ruleout-bench>
      {!job && <NoJob />}
    </>
  )
}

function NoJob() {
  return (
    <EmptyState title="No job yet" picture={<BoardPicture />}>
      <p>
        <CodeText text={compiled.value ? "Opening the bench…" : whyNoGraph(planState.value)} />
      </p>
    </EmptyState>
  )
}

/** The text of the job's ruleset has changed since it began: whether to move is for the bench to say. */
function NewerText({ job }: { job: OpenJob }) {
  const made = compiled.value
  const { name, source } = job.graph.ruleset
  const isNewer = made && made.graph.ruleset.name === name && made.graph.ruleset.source !== source
  if (!isNewer || isFresh(job)) return null
  return (
    <p class="warned row newer-text" role="status">
      <span class="grow">{job.words.say(m.textChanged)}</span>
      <button type="button" onClick={() => jobs.moveTo(made.graph)}>
        {job.words.say(m.goOnWithNewText)}
      </button>
    </p>
  )
}
