import { newJob } from "../../compiler/wording/compiled/bench.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { beginJob, openText, shelf } from "../actions/shelf.ts"

/** The other rulesets of this browser: a job on any of them, or its text. */
export function ShelfCard({ words, name }: { words: Words; name: string }) {
  const others = shelf.value.filter((each) => each.name !== name)
  if (others.length === 0) return null
  return (
    <section slot="more" class="card shelf" aria-labelledby="shelf-title">
      <h2 id="shelf-title">{words.say(m.otherRulesets)}</h2>
      <ul class="plain-list">
        {others.map((each) => (
          <li key={each.name} class="row">
            <span class="grow">
              {each.title} <span class="small quiet">{each.version}</span>
            </span>
            <button
              type="button"
              aria-label={words.say(m.newJobOn, each)}
              onClick={() => void beginJob(each)}
            >
              {words.say(newJob)}
            </button>
            <button type="button" aria-label={words.say(m.openTextOf, each)} onClick={() => openText(each)}>
              {words.say(m.openText)}
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}
