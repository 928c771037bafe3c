import type { ButtonHTMLAttributes, ComponentChildren } from "preact"
import { type Drawing, Icon } from "./icon.tsx"

interface Props extends Omit<ButtonHTMLAttributes<HTMLButtonElement>, "icon"> {
  readonly icon: Drawing
  readonly children?: ComponentChildren
}

/** A quiet button: an icon and a word, or, with a label, the icon alone. */
export function Tool({ icon, children, ...button }: Props) {
  return (
    <button type="button" class="tool" {...button}>
      <Icon of={icon} />
      {children}
    </button>
  )
}
