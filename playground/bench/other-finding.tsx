import { useSignal } from "@preact/signals"
import type { GraphReading } from "../../compiler/run/graph.ts"
import type { ActionStep } from "../../compiler/run/index.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Message } from "../../compiler/wording/message.ts"
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
  const { words } = job
  const open = useSignal(false)
  if (job.session.value.next.do === "end") return null
  return (
    <details
      class="card other"
      onToggle={(event) => {
        open.value = event.currentTarget.open
      }}
    >
      <summary>{words.say(m.otherTitle)}</summary>
      <p class="small quiet">{words.say(m.otherWhy)}</p>
      <OtherReading job={job} />
      {/* Worked out only when somebody looks: it goes through everything that can be done. */}
      {open.value && <OtherAction job={job} onChoose={onChoose} />}
      <AnswerProblem job={job} from="other" />
    </details>
  )
}

function OtherReading({ job }: { job: OpenJob }) {
  const chosen = useSignal("")
  const { graph, words } = job
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
        {words.say(m.aFinding)}
        <select
          value={chosen.value}
          onChange={(event) => {
            chosen.value = event.currentTarget.value
          }}
        >
          <option value="">{words.say(m.choose)}</option>
          <Group label={words.say(m.fromOwner)} readings={fresh.filter(({ told }) => told)} />
          <Group label={words.say(m.readOff)} readings={fresh.filter(({ told }) => !told)} />
          <Group label={words.say(m.readAgain)} readings={again} />
        </select>
      </label>
      {reading && (
        <ReadingSheet
          key={reading.name}
          words={words}
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

const groups: readonly { readonly label: Message; readonly has: (step: ActionStep) => boolean }[] = [
  { label: m.groupTests, has: (step) => step.do === "test" },
  { label: m.groupLooks, has: (step) => step.do === "look" || step.do === "close" },
  { label: m.groupParts, has: (step) => ["takeOut", "putBack", "keep"].includes(step.do) },
  { label: m.groupRepairs, has: (step) => step.do === "replace" || step.do === "fix" },
]

function OtherAction({ job, onChoose }: Props) {
  const { words } = job
  const { next, steps } = job.session.value
  const key = (step: ActionStep) => JSON.stringify(step.act)
  const planned = "act" in next ? JSON.stringify(next.act) : ""
  const others = steps.filter((step) => key(step) !== planned)
  return (
    <label class="field">
      {words.say(m.anAction)}
      <select
        value=""
        onChange={(event) => {
          const step = others.find((each) => key(each) === event.currentTarget.value)
          if (step) onChoose(step)
        }}
      >
        <option value="">{words.say(m.choose)}</option>
        {groups.map(({ label, has }) => {
          const own = others.filter(has)
          return (
            own.length > 0 && (
              <optgroup key={label} label={words.say(label)}>
                {own.map((step) => (
                  <option key={key(step)} value={key(step)}>
                    {actTitle(job.graph, step.act, words)}
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
