import { Explanations } from "./doubt.tsx"
import type { Desk } from "./job-session.ts"

/** What is in the machine now that was not, and what a cure may really be due to; beside a verdict its card says that. */
export function StandingCard({ desk }: { desk: Desk }) {
  const { standing, next } = desk.session.value
  const { fitted, changed, doubt } = standing
  return (
    <section class="card" aria-labelledby="standing-title">
      <h2 id="standing-title">On the machine now</h2>
      {doubt && next.do !== "verdict" && (
        <div class="warned doubt" role="alert">
          <p>
            <b>More than one explanation.</b> {doubt.text}
          </p>
          <Explanations doubt={doubt} />
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
