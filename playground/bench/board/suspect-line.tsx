import { useSignal } from "@preact/signals"
import type { Suspect } from "../../../compiler/run/index.ts"
import { reasonText } from "../../../compiler/ship/runner-text.ts"
import * as m from "../../../compiler/wording/compiled/bench.ts"
import * as common from "../../../compiler/wording/compiled/common.ts"
import { CodeText } from "../../ui/code-text.tsx"
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
  const { words } = job
  const { present, active } = suspect
  if (!(present > 0)) return <Struck job={job} suspect={suspect} />
  const isCured = active < present - 1e-9
  return (
    <li class="suspect" style={{ "--share": `${(100 * present) / most}%` }}>
      <span class="suspect-name">{suspectLabel(suspect, job.words)}</span>
      <span class="number">
        <span class="unseen">{words.say(m.cameInWith)} </span>
        {words.percent(present)}
      </span>
      {isCured && (
        <span class="small suspect-now">{words.say(m.nowChance, { chance: words.percent(active) })}</span>
      )}
    </li>
  )
}

function Struck({ job, suspect }: { job: OpenJob; suspect: Suspect }) {
  const open = useSignal(false)
  const { words } = job
  const { out } = suspect
  const why = out ? reasonText(job.graph, out, words) : ""
  return (
    <li class="suspect out">
      <details
        onToggle={(event) => {
          open.value = event.currentTarget.open
        }}
      >
        <summary>
          <s>{suspectLabel(suspect, job.words)}</s>{" "}
          {out && <span class="small quiet">{words.say(common.atStep, { n: out.step + 1 })}</span>}
        </summary>
        {out && (
          <p class="small">
            <CodeText
              text={words.say(m.struckBy, {
                why,
                n: out.step + 1,
                what: entryText(job.graph, job.session.value.log[out.step], words).what,
              })}
            />
          </p>
        )}
        {open.value && <WayBack job={job} suspect={suspect} />}
      </details>
      {out && (
        <span class="small quiet why" aria-hidden="true">
          <CodeText text={why} />
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
  const { words } = job
  const steps = back.map((step) =>
    words.say(m.stepFound, { n: step + 1, ...entryText(job.graph, session.log[step], words) }),
  )
  return <p class="small quiet">{words.say(m.wouldBeBack, { steps: steps.join("; ") })}</p>
}
