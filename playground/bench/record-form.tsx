import { type Signal, useSignal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"
import type { OpenJob } from "./open-job.ts"

interface Props {
  readonly job: OpenJob
  /** Name of the fault that is offered as the answer; none where too little is known. */
  readonly likeliest: string | undefined
}

const UNLISTED = "unlisted"

/** What the machine turned out to have, and the record of the job. */
export function RecordForm({ job, likeliest }: Props) {
  const { graph, host } = job
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
      <h3>Record of the job</h3>
      <div class="row">
        <FaultSelect label="It turned out to be" graph={graph} chosen={first} hasUnlisted />
        {first.value !== "" && first.value !== UNLISTED && (
          <FaultSelect label="And also" graph={graph} chosen={second} />
        )}
        <label class="field">
          Job number
          <input
            type="text"
            value={id.value}
            onInput={(event) => {
              id.value = event.currentTarget.value
            }}
          />
        </label>
        <button type="submit" class="main">
          {host.record.label}
        </button>
      </div>
      <p role="status" class="small">
        {job.saved.value.recorded ? "✓ Recorded." : ""}
      </p>
    </form>
  )
}

interface SelectProps {
  readonly label: string
  readonly graph: Graph
  readonly chosen: Signal<string>
  readonly hasUnlisted?: boolean
}

function FaultSelect({ label, graph, chosen, hasUnlisted = false }: SelectProps) {
  return (
    <label class="field">
      {label}
      <select
        value={chosen.value}
        onChange={(event) => {
          chosen.value = event.currentTarget.value
        }}
      >
        <option value="">{hasUnlisted ? "not confirmed" : "nothing else"}</option>
        {graph.faults.map((each) => (
          <option key={each.name} value={each.name}>
            {each.label}
          </option>
        ))}
        {hasUnlisted && <option value={UNLISTED}>something not listed</option>}
      </select>
    </label>
  )
}
