import { useSignal } from "@preact/signals"
import type { Suspect } from "../../compiler/run/index.ts"
import { CodeText } from "../code-text.tsx"
import { percent } from "../figures.ts"
import { entryText } from "./labels.ts"
import type { OpenJob } from "./open-job.ts"

const shownAtFirst = 8
const mostPairs = 5

export const suspectLabel = ({ info }: Suspect) => info?.label ?? "Something not listed"

/** Who is still in question, with the chances that it came in so and that it is active now; and why the others are out. */
export function Suspects({ job }: { job: OpenJob }) {
  const all = useSignal(false)
  const suspects = job.session.value.candidates
  const inside = suspects.filter(({ present }) => present > 0)
  const shown = all.value ? inside : inside.slice(0, shownAtFirst)
  const most = inside[0]?.present ?? 1
  return (
    <section class="card suspects" aria-labelledby="suspects-title">
      <h2 id="suspects-title">Suspects</h2>
      {inside.length > 0 ? (
        <SuspectTable job={job} shown={shown} most={most} />
      ) : (
        <p class="warned">Nothing listed fits these findings.</p>
      )}
      {inside.length > shownAtFirst && (
        <button
          type="button"
          class="plain"
          aria-expanded={all.value}
          onClick={() => {
            all.value = !all.value
          }}
        >
          {all.value ? "Show the likeliest only" : `Show ${inside.length - shownAtFirst} more`}
        </button>
      )}
      <Pairs job={job} />
      <RuledOut job={job} suspects={suspects.filter(({ present }) => !(present > 0))} />
    </section>
  )
}

interface TableProps {
  readonly job: OpenJob
  readonly shown: readonly Suspect[]
  readonly most: number
}

function SuspectTable({ job, shown, most }: TableProps) {
  return (
    <table>
      <caption class="unseen">What can be wrong, and how likely</caption>
      <thead>
        <tr>
          <th scope="col">Fault</th>
          <th scope="col" class="number" title="Chance that the machine came in with it">
            Came in with it
          </th>
          <th scope="col" class="number" title="Chance that it is there now and not cured">
            Active now
          </th>
        </tr>
      </thead>
      <tbody>
        {shown.map((each) => (
          <Row key={each.fault ?? "unlisted"} job={job} suspect={each} most={most} />
        ))}
      </tbody>
    </table>
  )
}

function Row({ job, suspect, most }: { job: OpenJob; suspect: Suspect; most: number }) {
  const { info, present, active } = suspect
  const place = info && job.graph.places[info.place]
  return (
    <tr>
      <th scope="row" class="suspect-name">
        {suspectLabel(suspect)}
        {place && <span class="small quiet">{place.label}</span>}
      </th>
      <td class="number chance">
        <Chance value={present} most={most} />
      </td>
      <td class="number chance">
        <Chance value={active} most={most} />
      </td>
    </tr>
  )
}

function Chance({ value, most }: { value: number; most: number }) {
  return (
    <>
      <span>{percent(value)}</span>
      <span class="bar" aria-hidden="true">
        {value > 0 && <span style={{ width: `${(100 * value) / most}%` }} />}
      </span>
    </>
  )
}

/** Which two faults are likely to be there together. */
function Pairs({ job: { graph, session } }: { job: OpenJob }) {
  const pairs = session.value.pairs.filter(({ chance }) => chance >= 0.0005)
  if (pairs.length === 0) return null
  const both = pairs.reduce((sum, { chance }) => sum + chance, 0)
  return (
    <details class="pairs">
      <summary>Two at once: {percent(both)}</summary>
      <ul class="plain-list">
        {pairs.slice(0, mostPairs).map(({ faults, chance }) => (
          <li key={faults.join()}>
            <span class="number">{percent(chance)}</span>{" "}
            {faults.map((fault) => graph.faults[fault]!.label).join(" and ")}
          </li>
        ))}
      </ul>
      {pairs.length > mostPairs && <p class="small quiet">and {pairs.length - mostPairs} more</p>}
    </details>
  )
}

function RuledOut({ job, suspects }: { job: OpenJob; suspects: readonly Suspect[] }) {
  const open = useSignal(false)
  if (suspects.length === 0) return null
  return (
    <details
      onToggle={(event) => {
        open.value = event.currentTarget.open
      }}
    >
      <summary>Ruled out: {suspects.length}</summary>
      <ul class="outs">
        {suspects.map((each) => (
          <li key={each.fault ?? "unlisted"}>
            <s>{suspectLabel(each)}</s>
            {each.out && (
              <span class="small quiet">
                {" "}
                <CodeText text={each.out.text} />. Step {each.out.step + 1}:{" "}
                {entryText(job.graph, job.session.value.log[each.out.step]).what}
              </span>
            )}
            {open.value && <WayBack job={job} suspect={each} />}
          </li>
        ))}
      </ul>
    </details>
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
