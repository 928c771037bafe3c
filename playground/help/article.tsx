import { Code } from "./code.tsx"
import { helpAddress, type Page } from "./markdown.ts"
import { pages } from "./pages.ts"

/** One page, and the way to its neighbours. */
export function Article({ page }: { page: Page }) {
  const at = pages.indexOf(page)
  const before = pages[at - 1]
  const after = pages[at + 1]
  return (
    <article class="help-page" aria-label={page.title}>
      {page.blocks.map((block, i) =>
        block.kind === "code" ? (
          <Code key={i} info={block.info} text={block.text} />
        ) : (
          <div key={i} class="help-text" dangerouslySetInnerHTML={{ __html: block.html }} />
        ),
      )}
      <nav class="help-turn" aria-label="Next to this page">
        {before && <a href={`#${helpAddress(before.id, "")}`}>← {before.title}</a>}
        {after && (
          <a class="after" href={`#${helpAddress(after.id, "")}`}>
            {after.title} →
          </a>
        )}
      </nav>
    </article>
  )
}
