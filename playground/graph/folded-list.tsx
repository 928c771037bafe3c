const SHOWN = 3

/** A list in a sentence: the first few, the rest unfolded on demand. */
export function FoldedList({ lead, items: all }: { lead: string; items: readonly string[] }) {
  const items = [...new Set(all)]
  if (items.length <= SHOWN + 1)
    return (
      <p class="small quiet">
        {lead} {items.join(", ")}
      </p>
    )
  return (
    <details class="small quiet">
      <summary class="folded-list">
        {lead} {items.slice(0, SHOWN).join(", ")} and {items.length - SHOWN} more
      </summary>
      {items.slice(SHOWN).join(", ")}
    </details>
  )
}
