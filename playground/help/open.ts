import { go } from "../actions/navigate.ts"
import { openInstead } from "../actions/text.ts"

export function openInEditor(text: string): void {
  const name = /^[ \t]*ruleset[ \t]+(\w+)/m.exec(text)?.[1]?.replaceAll("_", "-") ?? "example"
  const root = `${name}.ruleout`
  openInstead({ root, files: { [root]: `${text}\n` } }, "Opened the example.")
  go("write")
}
