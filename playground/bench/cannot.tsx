import { useSignal } from "@preact/signals"
import type { Act } from "../../compiler/run/index.ts"
import type { OpenJob } from "./open-job.ts"

const USUAL = ["No instrument", "No spare part", "No access", "Not allowed here", "No time now"]

/** The step can't be done here; why is asked, but needn't be answered. */
export function CannotForm({ job, act, onBack }: { job: OpenJob; act: Act; onBack: () => void }) {
  const reason = useSignal("")
  const note = (why: string) => job.cannot(act, why)
  return (
    <form
      class="cannot"
      onSubmit={(event) => {
        event.preventDefault()
        note(reason.value.trim())
      }}
    >
      <fieldset class="field-choices">
        <legend>Why can't it be done here?</legend>
        {USUAL.map((text) => (
          <button key={text} type="button" onClick={() => note(text.toLowerCase())}>
            {text}
          </button>
        ))}
      </fieldset>
      <p class="row">
        <label class="row grow">
          Another reason
          <input
            type="text"
            class="grow"
            maxLength={200}
            value={reason}
            onInput={(event) => {
              reason.value = event.currentTarget.value
            }}
          />
        </label>
        <button type="submit">Go on without it</button>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </p>
    </form>
  )
}
