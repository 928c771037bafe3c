import { beginJob, openText, shelf } from "../actions/shelf.ts"

/** The other rulesets of this browser: a job on any of them, or its text. */
export function ShelfCard({ name }: { name: string }) {
  const others = shelf.value.filter((each) => each.name !== name)
  if (others.length === 0) return null
  return (
    <section slot="more" class="card shelf" aria-labelledby="shelf-title">
      <h2 id="shelf-title">Other rulesets here</h2>
      <ul class="plain-list">
        {others.map((each) => (
          <li key={each.name} class="row">
            <span class="grow">
              {each.title} <span class="small quiet">{each.version}</span>
            </span>
            <button type="button" aria-label={`New job on ${each.title}`} onClick={() => void beginJob(each)}>
              New job
            </button>
            <button
              type="button"
              aria-label={`Open the text of ${each.title}`}
              onClick={() => openText(each)}
            >
              Open its text
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}
