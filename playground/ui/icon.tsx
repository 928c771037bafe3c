import { h } from "preact"

export type Drawing = readonly (readonly [string, object])[]

/** One of Lucide's drawings; what it means is always said in words beside it, or as the label of its button. */
export function Icon({ of, size = 18 }: { of: Drawing; size?: number }) {
  return (
    <svg
      class="icon"
      viewBox="0 0 24 24"
      width={size}
      height={size}
      fill="none"
      stroke="currentColor"
      stroke-width="2"
      stroke-linecap="round"
      stroke-linejoin="round"
      aria-hidden="true"
    >
      {of.map(([tag, attributes], i) => h(tag, { ...attributes, key: i }))}
    </svg>
  )
}
