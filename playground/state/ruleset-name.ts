import { computed } from "@preact/signals"
import { project } from "./state.ts"

/** The first line of the ruleset at hand: what it calls itself, as far as it is written. */
const head = computed(() => {
  const { root, files } = project.value
  return /^[ \t]*ruleset\s+([a-z][a-z0-9_]*)(?:\s+"((?:[^"\\\n]|\\.)*)")?/m.exec(files[root] ?? "")
})

export const rulesetName = computed(() => head.value?.[1] ?? "")
export const rulesetTitle = computed(() => head.value?.[2])
