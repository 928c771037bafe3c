import LanguagesIcon from "lucide/dist/esm/icons/languages.mjs"
import { languagesOf } from "../../compiler/graph/in-language.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Jobs } from "../bench/jobs.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { Icon } from "../ui/icon.tsx"

/** The languages that the job can be shown in, where there are several; each is called as it calls itself. */
export function LanguageChoice({ jobs, job: { compiled, graph, words } }: { jobs: Jobs; job: OpenJob }) {
  const all = languagesOf(compiled)
  if (all.length === 1) return null
  const [own] = languagesOf(graph)
  return (
    <label slot="bar" class="language row">
      <Icon of={LanguagesIcon} />
      <span class="unseen">{words.say(m.language)}</span>
      <select value={own} onChange={(event) => jobs.choose(event.currentTarget.value)}>
        {all.map((tag) => (
          <option key={tag} value={tag} lang={tag}>
            {nameOf(tag)}
          </option>
        ))}
      </select>
    </label>
  )
}

/** A stranger's graph may have anything for a tag. */
function nameOf(tag: string): string {
  try {
    return new Intl.DisplayNames([tag], { type: "language" }).of(tag) ?? tag
  } catch {
    return tag
  }
}
