import { useSignal } from "@preact/signals"
import type { Suspect } from "../../../compiler/run/index.ts"
import { CodeText } from "../../ui/code-text.tsx"
import { percent } from "../../ui/figures.ts"
import { entryText } from "../labels.ts"
import type { OpenJob } from "../open-job.ts"
import { suspectLabel } from "../suspects.ts"

interface Props {
  readonly job: OpenJob
  readonly suspect: Suspect
  /** The chance of the likeliest, against which the others are drawn. */
  readonly most: number
}

/** One suspect on the board: with its chance, or struck through with what struck it. */
export function SuspectLine({ job, suspect, most }: Props) {
  const { present, active } = suspect
  if (!(present > 0)) return <Struck job={job} suspect={suspect} />
  const isCured = active < present - 1e-9
  return (
    <li class="suspect" style={{ "--share": `${(100 * present) / most}%` }}>
      <span class="suspect-name">{suspectLabel(suspect)}</span>
      <span class="number">
        <span class="unseen">Came in with it: </span>
        {percent(present)}
      </span>
      {isCured && <span class="small suspect-now">now {percent(active)}</span>}
    </li>
  )
}

function Struck({ job, suspect }: { job: OpenJob; suspect: Suspect }) {
  const open = useSignal(false)
  const { out } = suspect
  return (
    <li class="suspect out">
      <details
        onToggle={(event) => {
          open.value = event.currentTarget.open
        }}
      >
        <summary>
          <s>{suspectLabel(suspect)}</s> {out && <span class="small quiet">step {out.step + 1}</span>}
        </summary>
        {out && (
          <p class="small">
            <CodeText text={out.text} />. Step {out.step + 1}:{" "}
            {entryText(job.graph, job.session.value.log[out.step]).what}
          </p>
        )}
        {open.value && <WayBack job={job} suspect={suspect} />}
      </details>
      {out && (
        <span class="small quiet why" aria-hidden="true">
          <CodeText text={out.text} />
        </span>
      )}
    </li>
  )
}

/** What would bring a suspect back; worked out only when somebody looks. */
function WayBack({ job, suspect: { info } }: { job: OpenJob; suspect: Suspect }) {
  const session = job.session.value
  const back = info ? session.why(info.name).back : []
  if (back.length === 0) return null
  return (
    <p class="small quiet">
      It would be back if one of these were wrong:{" "}
      {back
        .map((step) => {
          const { what, found } = entryText(job.graph, session.log[step])
          return `step ${step + 1} (${what} ${found})`
        })
        .join("; ")}
    </p>
  )
}
