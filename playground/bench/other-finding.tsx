import { useSignal } from "@preact/signals"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { ActionStep } from "../../compiler/run/index.ts"
import { AnswerProblem } from "./answer-problem.tsx"
import { actTitle, readingsOf } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"
import { ReadingSheet } from "./reading-sheet.tsx"

interface Props {
  readonly job: OpenJob
  /** Shows another action than the planned one, with all that has to be known before doing it. */
  readonly onChoose: (step: ActionStep) => void
}

/** What the plan didn't ask for: a reading that was seen, or another action. */
export function OtherFinding({ job, onChoose }: Props) {
  const open = useSignal(false)
  if (job.session.value.next.do === "end") return null
  return (
    <details
      class="card other"
      onToggle={(event) => {
        open.value = event.currentTarget.open
      }}
    >
      <summary>Found or did something else?</summary>
      <p class="small quiet">
        Findings are welcome in any order. Pick what you saw, or what you want to do instead.
      </p>
      <OtherReading job={job} />
      {/* Worked out only when somebody looks: it goes through everything that can be done. */}
      {open.value && <OtherAction job={job} onChoose={onChoose} />}
      <AnswerProblem job={job} from="other" />
    </details>
  )
}

function OtherReading({ job }: { job: OpenJob }) {
  const chosen = useSignal("")
  const { graph } = job
  const known = new Set(
    job.session.value.log.flatMap((entry) =>
      "act" in entry ? readingsOf(graph, entry.act).map(({ name }) => name) : [],
    ),
  )
  const fresh = graph.readings.filter(({ name }) => !known.has(name))
  const again = graph.readings.filter(({ name, told }) => known.has(name) && !told)
  const reading = graph.readings.find(({ name }) => name === chosen.value)
  return (
    <>
      <label class="field">
        A finding
        <select
          value={chosen.value}
          onChange={(event) => {
            chosen.value = event.currentTarget.value
          }}
        >
          <option value="">choose…</option>
          <Group label="From the owner" readings={fresh.filter(({ told }) => told)} />
          <Group label="Read off the machine" readings={fresh.filter(({ told }) => !told)} />
          <Group label="Read once more" readings={again} />
        </select>
      </label>
      {reading && (
        <ReadingSheet
          key={reading.name}
          readings={[reading]}
          onAnswer={(found, beside) => {
            const act = { reading: reading.name }
            const noted = job.change((session) => session.find(act, found, beside), "other")
            if (noted) chosen.value = ""
            return noted
          }}
          onProblem={(text) => {
            job.problem.value = { text, from: "other" }
          }}
        />
      )}
    </>
  )
}

function Group({ label, readings }: { label: string; readings: readonly GraphReading[] }) {
  if (readings.length === 0) return null
  return (
    <optgroup label={label}>
      {readings.map(({ name, question }) => (
        <option key={name} value={name}>
          {question}
        </option>
      ))}
    </optgroup>
  )
}

const groups: readonly { readonly label: string; readonly has: (step: ActionStep) => boolean }[] = [
  { label: "Tests", has: (step) => step.do === "test" },
  { label: "Looking and closing", has: (step) => step.do === "look" || step.do === "close" },
  { label: "The shop's parts", has: (step) => ["takeOut", "putBack", "keep"].includes(step.do) },
  { label: "Repairs", has: (step) => step.do === "replace" || step.do === "fix" },
]

function OtherAction({ job, onChoose }: Props) {
  const { next, steps } = job.session.value
  const key = (step: ActionStep) => JSON.stringify(step.act)
  const planned = "act" in next ? JSON.stringify(next.act) : ""
  const others = steps.filter((step) => key(step) !== planned)
  return (
    <label class="field">
      An action
      <select
        value=""
        onChange={(event) => {
          const step = others.find((each) => key(each) === event.currentTarget.value)
          if (step) onChoose(step)
        }}
      >
        <option value="">choose…</option>
        {groups.map(({ label, has }) => {
          const own = others.filter(has)
          return (
            own.length > 0 && (
              <optgroup key={label} label={label}>
                {own.map((step) => (
                  <option key={key(step)} value={key(step)}>
                    {actTitle(job.graph, step.act)}
                  </option>
                ))}
              </optgroup>
            )
          )
        })}
      </select>
    </label>
  )
}
