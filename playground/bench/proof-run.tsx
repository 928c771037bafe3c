import type { GraphProof, GraphReading } from "../../compiler/run/graph.ts"
import type { ActionStep } from "../../compiler/run/index.ts"
import { at } from "../../compiler/run/lookup.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import { cellsText } from "../../compiler/wording/ranges.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { AnswerProblem } from "./answer-problem.tsx"
import type { OpenJob } from "./open-job.ts"

/** Closing the job: the proof run, counted run by run. If it fails, the job goes on. */
export function ProofRun({ job, step }: { job: OpenJob; step: ActionStep }) {
  const { graph, words } = job
  const isPassed = (proof: GraphProof) => passedOf(job, proof) >= proof.times
  const left = step.proofRuns.filter((proof) => !isPassed(proof)).length
  const answer = (found: "holds" | "fails") => job.change((session) => session.find(step.act, found))
  return (
    <section class="proofs" aria-labelledby="proofs-title">
      <h3 id="proofs-title">{words.say(step.proofRuns.length > 0 ? common.proofRun : m.noProofRunAsked)}</h3>
      <p class="small quiet">{words.say(m.mustNotShow, { complaint: graph.complaint.text })}</p>
      <ul>
        {step.proofRuns.map((proof) => (
          <Proof key={proof.text} job={job} proof={proof} />
        ))}
      </ul>
      <p class="row">
        <button type="button" class="main big" disabled={left > 0} onClick={() => answer("holds")}>
          {words.say(step.proofRuns.length > 0 ? m.allPassed : common.closeJob)}
        </button>
        <button type="button" class="big" onClick={() => answer("fails")}>
          {words.say(m.itFailed)}
        </button>
      </p>
      <AnswerProblem job={job} from="step" />
    </section>
  )
}

function Proof({ job, proof }: { job: OpenJob; proof: GraphProof }) {
  const { graph, words } = job
  const index = graph.proofs.indexOf(proof)
  const passed = passedOf(job, proof)
  const expects =
    proof.expects && expectedText(at(graph.readings, proof.expects.reading), proof.expects.cells, words)
  return (
    <li class={passed >= proof.times ? "proof passed" : "proof"}>
      <span class="grow">
        {proof.text}
        {expects && <span class="small quiet"> {words.say(m.expects, { what: expects })}</span>}
        <span class="small quiet"> {words.say(common.timeEach, { time: words.minutes(proof.minutes) })}</span>
      </span>
      <output aria-label={words.say(m.runsPassed, proof)}>
        {passed >= proof.times ? "✓ " : ""}
        {words.say(m.runsOf, { passed, times: proof.times })}
      </output>
      <button
        type="button"
        disabled={passed >= proof.times}
        aria-label={words.say(m.passedOnceMore, proof)}
        onClick={() => job.passed(index, passed + 1)}
      >
        {words.say(m.passed)}
      </button>
      <button
        type="button"
        disabled={passed === 0}
        aria-label={words.say(m.countAgainFromStart, proof)}
        onClick={() => job.passed(index, 0)}
      >
        {words.say(m.countAgain)}
      </button>
    </li>
  )
}

function passedOf({ graph, saved }: OpenJob, proof: GraphProof): number {
  return saved.value.passed[graph.proofs.indexOf(proof)] ?? 0
}

const expectedText = (reading: GraphReading, cells: readonly number[], words: Words) =>
  `${reading.question} ${cellsText(reading, cells, words)}`
