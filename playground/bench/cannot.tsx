import { useSignal } from "@preact/signals"
import type { Act } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import type { OpenJob } from "./open-job.ts"

const USUAL = [m.noInstrument, m.noSparePart, m.noAccess, m.notAllowedHere, m.noTimeNow]

/** The step can't be done here; why is asked, but needn't be answered. */
export function CannotForm({ job, act, onBack }: { job: OpenJob; act: Act; onBack: () => void }) {
  const { words } = job
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
        <legend>{words.say(m.whyCannot)}</legend>
        {USUAL.map((reason) => words.say(reason)).map((text) => (
          <button key={text} type="button" onClick={() => note(text)}>
            {capitalized(text)}
          </button>
        ))}
      </fieldset>
      <p class="row">
        <label class="row grow">
          {words.say(m.anotherReason)}
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
        <button type="submit">{words.say(m.goOnWithout)}</button>
        <button type="button" onClick={onBack}>
          {words.say(m.back)}
        </button>
      </p>
    </form>
  )
}
