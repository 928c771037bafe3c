import type { ComponentChildren } from "preact"

interface Props {
  readonly title: string
  readonly picture: ComponentChildren
  readonly children: ComponentChildren
}

/** A station on which there is nothing yet: what it will show, and how to get there. */
export function EmptyState({ title, picture, children }: Props) {
  return (
    <div class="empty">
      {picture}
      <h2>{title}</h2>
      {children}
    </div>
  )
}
