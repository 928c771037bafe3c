import { dark, type Theme, theme } from "../state.ts"

const order: readonly Theme[] = ["auto", "light", "dark"]
const system = matchMedia("(prefers-color-scheme: dark)")

const place = "ruleout.theme"

function storedTheme(): string | null {
  try {
    return localStorage.getItem(place)
  } catch {
    return null
  }
}

export function setTheme(next: Theme): void {
  theme.value = next
  if (next === "auto") delete document.documentElement.dataset.theme
  else document.documentElement.dataset.theme = next
  dark.value = next === "dark" || (next === "auto" && system.matches)
  try {
    localStorage.setItem(place, next)
  } catch {
    // A browser that keeps nothing still shows colours.
  }
}

export function cycleTheme(): void {
  setTheme(order[(order.indexOf(theme.value) + 1) % order.length]!)
}

export function startTheme(): void {
  setTheme(order.find((name) => name === storedTheme()) ?? "auto")
  system.addEventListener("change", () => setTheme(theme.value))
}
