import { useEffect, useRef } from "preact/hooks"
import { helpAddress, type Page } from "./markdown.ts"
import { groups } from "./pages.ts"

const roomy = matchMedia("(min-width: 901px)")

/** All pages, and of the one shown its sections. Beside the page on a wide screen; folded above it on a narrow one. */
export function Contents({ shown }: { shown: Page }) {
  const box = useRef<HTMLDetailsElement>(null)
  useEffect(() => {
    const unfold = () => {
      if (box.current) box.current.open = roomy.matches
    }
    unfold()
    roomy.addEventListener("change", unfold)
    return () => roomy.removeEventListener("change", unfold)
  }, [])
  useEffect(() => {
    const link = box.current?.querySelector<HTMLElement>("[aria-current]")
    if (link && box.current) box.current.scrollTop = link.offsetTop - box.current.clientHeight / 3
  }, [shown])
  const chosen = () => {
    if (box.current && !roomy.matches) box.current.open = false
  }
  return (
    <details ref={box} class="help-contents">
      <summary>Contents</summary>
      <nav aria-label="Contents of the help">
        {groups.map(({ name, pages }) => (
          <section key={name} aria-label={name}>
            <h2>{name}</h2>
            <ul>
              {pages.map((page) => (
                <li key={page.id}>
                  <a
                    href={`#${helpAddress(page.id, "")}`}
                    aria-current={page === shown ? "page" : undefined}
                    onClick={chosen}
                  >
                    {page.title}
                  </a>
                  {page === shown && <Sections page={page} onChoose={chosen} />}
                </li>
              ))}
            </ul>
          </section>
        ))}
      </nav>
    </details>
  )
}

function Sections({ page, onChoose }: { page: Page; onChoose: () => void }) {
  const [, ...sections] = page.sections
  if (sections.length === 0) return null
  return (
    <ul>
      {sections.map(({ id, title }) => (
        <li key={id}>
          <a href={`#${helpAddress(page.id, id)}`} onClick={onChoose}>
            {title}
          </a>
        </li>
      ))}
    </ul>
  )
}
