import { dark, type Theme, theme } from "../state.ts"

const order: readonly Theme[] = ["auto", "light", "dark"]
const system = matchMedia("(prefers-color-scheme: dark)")

export function setTheme(next: Theme): void {
  theme.value = next
  if (next === "auto") delete document.documentElement.dataset.theme
  else document.documentElement.dataset.theme = next
  dark.value = next === "dark" || (next === "auto" && system.matches)
  localStorage.setItem("ruleout.theme", next)
}

export function cycleTheme(): void {
  setTheme(order[(order.indexOf(theme.value) + 1) % order.length]!)
}

export function startTheme(): void {
  const kept = localStorage.getItem("ruleout.theme")
  setTheme(order.find((name) => name === kept) ?? "auto")
  system.addEventListener("change", () => setTheme(theme.value))
}
