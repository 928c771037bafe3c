import { at } from "../../compiler/run/lookup.ts"
import { dark, type Theme, theme } from "../state/state.ts"

const ORDER: readonly Theme[] = ["auto", "light", "dark"]
const system = matchMedia("(prefers-color-scheme: dark)")

const PLACE = "ruleout.theme"

function storedTheme(): string | null {
  try {
    return localStorage.getItem(PLACE)
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
    localStorage.setItem(PLACE, next)
  } catch {
    // A browser that keeps nothing still shows colours.
  }
}

export function cycleTheme(): void {
  setTheme(at(ORDER, (ORDER.indexOf(theme.value) + 1) % ORDER.length))
}

export function startTheme(): void {
  setTheme(ORDER.find((name) => name === storedTheme()) ?? "auto")
  system.addEventListener("change", () => setTheme(theme.value))
}
