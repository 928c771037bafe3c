import { useSignal } from "@preact/signals"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { Answer } from "../../compiler/run/index.ts"
import { Sheet } from "./answer.tsx"
import { Complaint } from "./answer-problem.tsx"
import type { Desk } from "./job-session.ts"
import { labelOf } from "./labels.ts"

/** Findings that were not asked for: another test done, a reading seen, a part put back. */
export function OtherFinding({ desk }: { desk: Desk }) {
  const chosen = useSignal("")
  const open = useSignal(false)
  const { graph } = desk
  const session = desk.session.value
  const known = new Set(
    session.log.flatMap(({ test, reading, cannot }) =>
      cannot ? [] : reading !== undefined ? [reading] : (graph.model.tests[test!]!.reads ?? []),
    ),
  )
  const readings = graph.readings.filter((_, i) => !known.has(i))
  const next = session.next
  // Worked out only when somebody looks: it goes through every test there is.
  const acts = (open.value ? session.steps : []).filter(
    (step) =>
      step.reads.length === 0 &&
      !(next.do === "test" && next.name === step.name && next.putBack === step.putBack),
  )
  const reading = readings.find((each) => each.name === chosen.value)
  const act = acts.find((each) => (each.putBack ?? each.name) === chosen.value)
  const note = (found: Answer) => {
    const noted = desk.act((now) => now.find(chosen.value, found), "other")
    if (noted) chosen.value = ""
    return noted
  }
  return (
    <details
      class="card other"
      onToggle={(event) => {
        open.value = event.currentTarget.open
      }}
    >
      <summary>Found something else?</summary>
      <p class="small quiet">Findings are welcome in any order. Pick what you saw or did.</p>
      <label class="field">
        Reading or test
        <select
          value={chosen.value}
          onChange={(event) => {
            chosen.value = event.currentTarget.value
          }}
        >
          <option value="">choose…</option>
          <Group label="The owner's account" readings={readings.filter((each) => each.told)} />
          <Group label="Read off the machine" readings={readings.filter((each) => !each.told)} />
          {acts.length > 0 && (
            <optgroup label="Done to the machine">
              {acts.map((each) => (
                <option key={each.putBack ?? each.name} value={each.putBack ?? each.name}>
                  {each.putBack === undefined
                    ? each.instruction
                    : `Put back: ${labelOf(graph, each.putBack)}`}
                </option>
              ))}
            </optgroup>
          )}
        </select>
      </label>
      {reading && <Sheet key={reading.name} readings={[reading]} onAnswer={note} />}
      <Complaint desk={desk} at="other" />
      {act && (
        <p class="row">
          <button type="button" class="big" onClick={() => note("gone")}>
            Complaint gone
          </button>
          <button type="button" class="big" onClick={() => note("stays")}>
            Complaint stays
          </button>
        </p>
      )}
    </details>
  )
}

function Group({ label, readings }: { label: string; readings: readonly GraphReading[] }) {
  if (readings.length === 0) return null
  return (
    <optgroup label={label}>
      {readings.map((each) => (
        <option key={each.name} value={each.name}>
          {each.question}
        </option>
      ))}
    </optgroup>
  )
}
