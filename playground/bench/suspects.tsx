import { useSignal } from "@preact/signals"
import type { Suspect } from "../../compiler/run/index.ts"
import { CodeText } from "../code-text.tsx"
import { percent } from "../figures.ts"
import type { Desk } from "./job-session.ts"
import { entryText } from "./labels.ts"

const shownAtFirst = 8

/** Who is still in question, with chances; why each of the others is out, and which step said so. */
export function Suspects({ desk }: { desk: Desk }) {
  const all = useSignal(false)
  const session = desk.session.value
  const suspects = session.candidates
  const inside = suspects.filter((each) => each.chance > 0)
  const outside = suspects.filter((each) => !(each.chance > 0))
  const shown = all.value ? inside : inside.slice(0, shownAtFirst)
  const most = inside[0]?.chance ?? 1
  return (
    <section class="card suspects" aria-labelledby="suspects-title">
      <h2 id="suspects-title">Suspects</h2>
      <table>
        <caption class="unseen">Faults still in question and their chances</caption>
        <thead>
          <tr>
            <th scope="col">Fault</th>
            <th scope="col">Where</th>
            <th scope="col" class="number">
              Chance
            </th>
          </tr>
        </thead>
        <tbody>
          {shown.map((each) => (
            <Row key={each.fault} desk={desk} suspect={each} most={most} />
          ))}
        </tbody>
      </table>
      {inside.length === 0 && <p class="warned">No listed fault fits these findings.</p>}
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
      {outside.length > 0 && (
        <details>
          <summary>Ruled out: {outside.length}</summary>
          <ul class="outs">
            {outside.map((each) => (
              <li key={each.fault}>
                <s>{each.label}</s>
                {each.out && (
                  <span class="small quiet">
                    {" "}
                    <CodeText text={each.out.text} />. Step {each.out.step + 1}:{" "}
                    {entryText(desk.graph, session.log[each.out.step]!).what}
                  </span>
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}

function Row({ desk, suspect, most }: { desk: Desk; suspect: Suspect; most: number }) {
  const place = desk.graph.places[desk.graph.faults[suspect.fault]!.place]!
  return (
    <tr>
      <th scope="row" class="suspect-name">
        {suspect.label}
        {suspect.cured > 0.0005 && (
          <span class="small quiet">cured by what was redone: {percent(suspect.cured)}</span>
        )}
      </th>
      <td class="small">{place.label}</td>
      <td class="number chance">
        <span>{percent(suspect.chance)}</span>
        <span class="bar" aria-hidden="true">
          <span style={{ width: `${(100 * suspect.chance) / most}%` }} />
        </span>
      </td>
    </tr>
  )
}
