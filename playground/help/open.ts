import { go } from "../actions/go.ts"
import { openProject } from "../actions/text.ts"
import { isEmpty, project, say } from "../state.ts"

/** The work in hand goes to the history and is one press away, as with every other way to open something. */
export function openInEditor(text: string): void {
  const before = project.value
  const own = !isEmpty.value
  const name = /^\s*ruleset\s+(\w+)/m.exec(text)?.[1]?.replaceAll("_", "-") ?? "example"
  const root = `${name}.ruleout`
  openProject({ root, files: { [root]: `${text}\n` } })
  go("write")
  say("Opened the example.", own ? { action: { label: "Back to mine", run: () => openProject(before) } } : {})
}
