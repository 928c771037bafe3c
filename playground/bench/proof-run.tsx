import type { GraphProof, GraphReading } from "../../compiler/run/graph.ts"
import type { ActionStep } from "../../compiler/run/index.ts"
import { at } from "../../compiler/run/lookup.ts"
import { cellsText } from "../../compiler/wording/ranges.ts"
import { minutes } from "../ui/figures.ts"
import { AnswerProblem } from "./answer-problem.tsx"
import type { OpenJob } from "./open-job.ts"

/** Closing the job: the proof run, counted run by run. If it fails, the job goes on. */
export function ProofRun({ job, step }: { job: OpenJob; step: ActionStep }) {
  const { graph } = job
  const isPassed = (proof: GraphProof) => passedOf(job, proof) >= proof.times
  const left = step.proofRuns.filter((proof) => !isPassed(proof)).length
  const answer = (found: "holds" | "fails") => job.change((session) => session.find(step.act, found))
  return (
    <section class="proofs" aria-labelledby="proofs-title">
      <h3 id="proofs-title">{step.proofRuns.length > 0 ? "Proof run" : "No proof run is asked for"}</h3>
      <p class="small quiet">The complaint “{graph.complaint.text}” must not show up once.</p>
      <ul>
        {step.proofRuns.map((proof) => (
          <Proof key={proof.text} job={job} proof={proof} />
        ))}
      </ul>
      <p class="row">
        <button type="button" class="main big" disabled={left > 0} onClick={() => answer("holds")}>
          {step.proofRuns.length > 0 ? "All passed: close the job" : "Close the job"}
        </button>
        <button type="button" class="big" onClick={() => answer("fails")}>
          It failed: go on
        </button>
      </p>
      <AnswerProblem job={job} from="step" />
    </section>
  )
}

function Proof({ job, proof }: { job: OpenJob; proof: GraphProof }) {
  const { graph } = job
  const index = graph.proofs.indexOf(proof)
  const passed = passedOf(job, proof)
  const expects =
    proof.expects && expectedText(at(graph.readings, proof.expects.reading), proof.expects.cells)
  return (
    <li class={passed >= proof.times ? "proof passed" : "proof"}>
      <span class="grow">
        {proof.text}
        {expects && <span class="small quiet"> Expected: {expects}</span>}
        <span class="small quiet"> {minutes(proof.minutes)} each</span>
      </span>
      <output aria-label={`Runs that passed: ${proof.text}`}>
        {passed >= proof.times ? "✓ " : ""}
        {passed} of {proof.times}
      </output>
      <button
        type="button"
        disabled={passed >= proof.times}
        aria-label={`Passed once more: ${proof.text}`}
        onClick={() => job.passed(index, passed + 1)}
      >
        Passed
      </button>
      <button
        type="button"
        disabled={passed === 0}
        aria-label={`Count again from 0: ${proof.text}`}
        onClick={() => job.passed(index, 0)}
      >
        Count again
      </button>
    </li>
  )
}

function passedOf({ graph, saved }: OpenJob, proof: GraphProof): number {
  return saved.value.passed[graph.proofs.indexOf(proof)] ?? 0
}

const expectedText = (reading: GraphReading, cells: readonly number[]) =>
  `${reading.question} ${cellsText(reading, cells)}`
