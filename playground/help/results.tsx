import { helpAddress } from "./markdown.ts"
import { pages } from "./pages.ts"
import { cutAt, search, wordsOf } from "./search.ts"

const sections = pages.flatMap((page) => page.sections)
const MOST = 30

/** What the search found, best first. */
export function Results({ query }: { query: string }) {
  const hits = search(sections, query)
  const words = wordsOf(query)
  return (
    <section class="help-results" aria-labelledby="results-title">
      <h2 id="results-title" aria-live="polite">
        {hits.length === 0
          ? "Nothing found"
          : `${hits.length} ${hits.length === 1 ? "place" : "places"} found`}
      </h2>
      {hits.length === 0 && (
        <p>
          No section has all of these words. Fewer words find more; the <a href="#help/glossary">glossary</a>{" "}
          has the words of the trade as they are used here.
        </p>
      )}
      <ol>
        {hits.slice(0, MOST).map(({ section, excerpt }) => (
          <li key={`${section.page}/${section.id}`}>
            <a href={`#${helpAddress(section.page, section.id)}`}>
              <Marked text={section.title} words={words} />
            </a>
            {section.title !== section.pageTitle && <span class="small quiet"> in {section.pageTitle}</span>}
            <p class="small">
              <Marked text={excerpt} words={words} />
            </p>
          </li>
        ))}
      </ol>
      {hits.length > MOST && <p class="small quiet">and {hits.length - MOST} more</p>}
    </section>
  )
}

function Marked({ text, words }: { text: string; words: readonly string[] }) {
  return <>{cutAt(text, words).map((part, i) => (i % 2 === 1 ? <mark key={i}>{part}</mark> : part))}</>
}
