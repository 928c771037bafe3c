const shown = 3

/** A list in a sentence: the first few, the rest unfolded on demand. */
export function FoldedList({ lead, items: all }: { lead: string; items: readonly string[] }) {
  const items = [...new Set(all)]
  if (items.length <= shown + 1)
    return (
      <p class="small quiet">
        {lead} {items.join(", ")}
      </p>
    )
  return (
    <details class="small quiet">
      <summary class="folded-list">
        {lead} {items.slice(0, shown).join(", ")} and {items.length - shown} more
      </summary>
      {items.slice(shown).join(", ")}
    </details>
  )
}
