import { CodeText } from "../code-text.tsx"
import type { Desk, Place } from "./job-session.ts"

/** What the runner could not make of the last answer, beside the place where it was given. */
export function Complaint({ desk, at }: { desk: Desk; at: Place }) {
  const complaint = desk.complaint.value
  if (complaint?.at !== at) return null
  return (
    <p class="answer-wrong" role="alert">
      <CodeText text={complaint.text} />
    </p>
  )
}
