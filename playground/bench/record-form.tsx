import { type Signal, useSignal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import * as common from "../../compiler/wording/compiled/common.ts"
import type { Words } from "../../compiler/wording/words.ts"
import type { OpenJob } from "./open-job.ts"

interface Props {
  readonly job: OpenJob
  /** Name of the fault that is offered as the answer; none where too little is known. */
  readonly likeliest: string | undefined
}

const UNLISTED = "unlisted"

/** What the machine turned out to have, and the record of the job. */
export function RecordForm({ job, likeliest }: Props) {
  const { graph, host, words } = job
  const first = useSignal(likeliest ?? "")
  const second = useSignal("")
  const id = useSignal(job.saved.value.id)
  const { next } = job.session.value
  const closed = next.do === "end" && next.closed
  const save = (event: Event) => {
    event.preventDefault()
    const faults = [first.value, second.value].filter(
      (name, i, all) => name !== "" && all.indexOf(name) === i,
    )
    const record = job.session.value.record({
      id: id.value.trim() || job.saved.value.id,
      date: host.today(),
      ...(faults.length > 0 ? { faults } : {}),
      ...(closed && graph.proofs.length > 0 ? { confirmed: "proof" } : {}),
      cameBack: false,
    })
    job.record(record)
  }
  return (
    <form class="closing" onSubmit={save}>
      <h3>{words.say(m.recordOfJob)}</h3>
      <div class="row">
        <FaultSelect words={words} label={words.say(m.turnedOut)} graph={graph} chosen={first} hasUnlisted />
        {first.value !== "" && first.value !== UNLISTED && (
          <FaultSelect words={words} label={words.say(m.andAlso)} graph={graph} chosen={second} />
        )}
        <label class="field">
          {words.say(m.jobNumber)}
          <input
            type="text"
            value={id.value}
            onInput={(event) => {
              id.value = event.currentTarget.value
            }}
          />
        </label>
        <button type="submit" class="main">
          {words.say(m.recordJob)}
        </button>
      </div>
      <p role="status" class="small">
        {job.saved.value.recorded && words.say(m.recordedMark)}
      </p>
    </form>
  )
}

interface SelectProps {
  readonly words: Words
  readonly label: string
  readonly graph: Graph
  readonly chosen: Signal<string>
  readonly hasUnlisted?: boolean
}

function FaultSelect({ words, label, graph, chosen, hasUnlisted = false }: SelectProps) {
  return (
    <label class="field">
      {label}
      <select
        value={chosen.value}
        onChange={(event) => {
          chosen.value = event.currentTarget.value
        }}
      >
        <option value="">{words.say(hasUnlisted ? m.notConfirmed : m.noOtherFault)}</option>
        {graph.faults.map((each) => (
          <option key={each.name} value={each.name}>
            {each.label}
          </option>
        ))}
        {hasUnlisted && <option value={UNLISTED}>{words.say(common.notListed)}</option>}
      </select>
    </label>
  )
}
