import { useSignal } from "@preact/signals"
import { useEffect, useRef } from "preact/hooks"
import type { OutlineItem } from "../../compiler/service/index.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { goToSource } from "../actions/navigate.ts"
import { language } from "../actions/text.ts"
import { activeFile, caret, version } from "../state/state.ts"

/** The declarations of the file in order, the one at the caret marked; each leads to its line. */
export function Outline() {
  const items = useSignal<readonly OutlineItem[]>([])
  const wanted = useSignal("")
  const file = activeFile.value
  const of = version.value
  useEffect(() => {
    void language.outline(file).then((found) => {
      if (version.peek() === of && activeFile.peek() === file) items.value = found
    })
  }, [file, of])
  const words = wanted.value.trim().toLowerCase()
  const shown = items.value.filter((item) => textOf(item).includes(words))
  return (
    <section class="file-outline" aria-labelledby="file-outline-head">
      <h2 id="file-outline-head" class="unseen">
        Outline
      </h2>
      <input
        type="search"
        aria-label="Filter the outline"
        placeholder={`Filter ${countOf(items.value.length, "declaration")}…`}
        value={wanted}
        onInput={(event) => {
          wanted.value = event.currentTarget.value
        }}
      />
      <Items items={shown} at={caret.value?.file === file ? caret.value.offset : -1} />
    </section>
  )
}

const textOf = ({ kind, name, detail }: OutlineItem) => `${kind} ${name} ${detail}`.toLowerCase()

function Items({ items, at }: { items: readonly OutlineItem[]; at: number }) {
  const list = useRef<HTMLUListElement>(null)
  const current = items.find(({ span }) => span.start <= at && at <= span.end)
  useEffect(() => {
    list.current?.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest" })
  }, [current])
  if (items.length === 0) return <p class="quiet">No declarations.</p>
  return (
    <ul ref={list}>
      {items.map((item) => (
        <li key={item.span.start}>
          <button
            type="button"
            class="tool"
            aria-current={item === current ? "true" : undefined}
            onClick={() => goToSource(item.focus)}
          >
            <span class="small quiet">{item.kind}</span>
            <span>
              {item.name !== item.kind && <b>{item.name}</b>} {item.detail}
            </span>
          </button>
        </li>
      ))}
    </ul>
  )
}
