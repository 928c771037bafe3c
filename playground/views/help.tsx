import { itemAt } from "../../compiler/run/lookup.ts"
import "../style/help.css"
import { useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import { Article } from "../help/article.tsx"
import { Contents } from "../help/contents.tsx"
import { pages } from "../help/pages.ts"
import { Results } from "../help/results.tsx"
import { helpAt } from "../state/state.ts"

/** The handbook, the reference and the codes, to read and to search. */
export function Help() {
  const query = useSignal("")
  const box = useRef<HTMLDivElement>(null)
  const asked = helpAt.value
  const page = pages.find(({ id }) => id === asked.page) ?? itemAt(pages, 0)

  useEffect(() => {
    const { section } = asked
    // A name without a section of its own, as of a problem with the text itself, is looked for on all pages.
    const known = section === "" || page.sections.some(({ id }) => id === section)
    query.value = known ? "" : section
    // The page takes the place of what the search had found first.
    if (known && asked.page !== "") requestAnimationFrame(() => show(box.current, section))
  }, [asked, page, query])

  const first = (event: Event) => {
    event.preventDefault()
    box.current?.querySelector<HTMLAnchorElement>(".help-results a")?.click()
  }

  return (
    <div class="help" ref={box}>
      <div class="help-side">
        <search>
          <form onSubmit={first}>
            <label for="help-search">Search the help</label>
            <input
              id="help-search"
              type="search"
              autocomplete="off"
              value={query}
              onInput={(event) => {
                query.value = event.currentTarget.value
              }}
            />
          </form>
        </search>
        <Contents shown={page} />
      </div>
      <div class="help-main">
        {query.value.trim() === "" ? <Article key={page.id} page={page} /> : <Results query={query.value} />}
      </div>
    </div>
  )
}

/** Brings a section, or the page's beginning, to the top and the keyboard with it. */
function show(box: HTMLElement | null, section: string): void {
  const article = box?.querySelector(".help-page")
  const heading =
    section === "" ? article?.querySelector("h1") : article?.querySelector(`#${CSS.escape(section)}`)
  if (!(heading instanceof HTMLElement)) return
  heading.focus({ preventScroll: true })
  if (section === "") box?.closest(".stage")?.scrollTo(0, 0)
  else heading.scrollIntoView({ block: "start" })
}
