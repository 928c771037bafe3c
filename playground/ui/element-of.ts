/** @throws Error where the page has no element of that id, so that a mistake in its HTML shows */
export function elementOf(id: string): HTMLElement {
  const element = document.getElementById(id)
  if (!element) throw new Error(`The page has no element \`${id}\``)
  return element
}
