import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { against, type Candidate, candidates, stopComparing } from "../actions/compare-graphs.ts"

/** Chooses what the graph is held against. */
export function CompareSelect() {
  const all = useSignal<readonly Candidate[]>([])
  const refresh = async () => {
    all.value = await candidates()
  }
  useEffect(() => void refresh(), [])
  const { label } = against.value ?? {}
  return (
    <label class="row small graph-compare">
      Compare with
      <select
        value={label ?? ""}
        onFocus={refresh}
        onChange={(event) => {
          const chosen = all.value.find((each) => each.label === event.currentTarget.value)
          if (chosen) chosen.compare()
          else stopComparing()
          // A file that isn't chosen in the end, or can't be read, leaves what was.
          event.currentTarget.value = against.peek()?.label ?? ""
        }}
      >
        <option value="">nothing</option>
        {label !== undefined && !all.value.some((each) => each.label === label) && (
          <option value={label}>{label}</option>
        )}
        {all.value.map((each) => (
          <option key={each.label} value={each.label}>
            {each.label}
          </option>
        ))}
      </select>
    </label>
  )
}
