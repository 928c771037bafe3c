import { CodeText } from "../ui/code-text.tsx"
import type { AnswerPlace, OpenJob } from "./open-job.ts"

/** What is wrong with the last answer, beside the place where it was given. */
export function AnswerProblem({ job, from }: { job: OpenJob; from: AnswerPlace }) {
  const problem = job.problem.value
  if (problem?.from !== from) return null
  return (
    <p class="answer-wrong" role="alert">
      <CodeText text={problem.text} />
    </p>
  )
}
