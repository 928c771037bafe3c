import { percent } from "../graph/words.ts"
import type { Desk } from "./desk.ts"

/** What is in the machine now that was not, and what a cure may really be due to. */
export function StandingCard({ desk }: { desk: Desk }) {
  const { fitted, changed, doubt } = desk.session.value.standing
  return (
    <section class="card" aria-labelledby="standing-title">
      <h2 id="standing-title">On the machine now</h2>
      {doubt && (
        <div class="warned" role="alert">
          <p>
            <b>More than one explanation.</b> {doubt.text}
          </p>
          <ul class="plain-list">
            {doubt.explanations.map((each) => (
              <li key={each.name}>
                <span class="number">{percent(each.chance)}</span>{" "}
                {each.kind === "part" ? "the old part was bad: " : "it was done again: "}
                {each.label}
              </li>
            ))}
            {doubt.still > 0.0005 && (
              <li>
                <span class="number">{percent(doubt.still)}</span> nothing is cured: it comes and goes
              </li>
            )}
          </ul>
        </div>
      )}
      {fitted.length > 0 && <p>Known-good fitted: {fitted.map((each) => `${each.label}`).join(", ")}</p>}
      <h3>Changed since the complaint was last seen</h3>
      {changed.length === 0 ? (
        <p class="quiet">Nothing.</p>
      ) : (
        <ul class="dots">
          {changed.map((place) => (
            <li key={place.name}>{place.label}</li>
          ))}
        </ul>
      )}
    </section>
  )
}
