import { useSignal } from "@preact/signals"
import { type ChangeObject, diffLines } from "diff"
import { countOf } from "../../compiler/wording/figures.ts"
import type { Project } from "../state/project.ts"
import { project } from "../state/state.ts"
import type { Version } from "../state/store.ts"
import { titleOf } from "./version-text.ts"

interface Props {
  readonly version: Version
  readonly all: readonly Version[]
  readonly onClose: () => void
}

/** Two versions of the text, line by line: an earlier one against the text now, or against another. */
export function Difference({ version, all, onClose }: Props) {
  const against = useSignal("")
  const other = all.find(({ at }) => String(at) === against.value)
  const files = changedFiles(version.project, other?.project ?? project.value)
  return (
    <section class="difference" aria-labelledby="difference-title">
      <div class="row">
        <h3 id="difference-title" class="grow">
          What changed since {titleOf(version)}
        </h3>
        <label class="row small">
          Compare with
          <select
            value={against.value}
            onChange={(event) => {
              against.value = event.currentTarget.value
            }}
          >
            <option value="">the text now</option>
            {all
              .filter((each) => each !== version)
              .map((each) => (
                <option key={each.at} value={String(each.at)}>
                  {titleOf(each)}
                </option>
              ))}
          </select>
        </label>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
      {files.length === 0 && <p class="quiet">The two are the same.</p>}
      {files.map(({ file, changes }) => (
        <FileDifference key={file} file={file} changes={changes} />
      ))}
    </section>
  )
}

interface FileChanges {
  readonly file: string
  readonly changes: readonly ChangeObject<string>[]
}

function changedFiles(before: Project, after: Project): FileChanges[] {
  const names = [...new Set([...Object.keys(before.files), ...Object.keys(after.files)])]
  return names.flatMap((file) => {
    const [old = "", fresh = ""] = [before.files[file], after.files[file]]
    return old === fresh ? [] : [{ file, changes: diffLines(old, fresh) }]
  })
}

/** Lines around a change that stay the same and are shown. */
const AROUND = 2

const signs = { added: "+", removed: "−", same: " " } as const

function FileDifference({ file, changes }: FileChanges) {
  const count = (of: "added" | "removed") =>
    changes.reduce((sum, change) => sum + (change[of] ? change.count : 0), 0)
  return (
    <section aria-label={`Difference in ${file}`} class="file-difference">
      <p class="small">
        <b>{file}</b> {countOf(count("added"), "line")} added, {count("removed")} taken out
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is reached by keys */}
      <pre class="diff" tabIndex={0}>
        {changes.map((change, i) => (
          <Change key={i} change={change} isFirst={i === 0} isLast={i === changes.length - 1} />
        ))}
      </pre>
    </section>
  )
}

interface ChangeProps {
  readonly change: ChangeObject<string>
  readonly isFirst: boolean
  readonly isLast: boolean
}

function Change({ change, isFirst, isLast }: ChangeProps) {
  const kind = change.added ? "added" : change.removed ? "removed" : "same"
  const lines = change.value.replace(/\n$/, "").split("\n")
  const head = isFirst ? [] : lines.slice(0, AROUND)
  const tail = isLast ? [] : lines.slice(-AROUND)
  const isLong = kind === "same" && lines.length > head.length + tail.length + 1
  const draw = (list: readonly string[]) => list.map((line) => `${signs[kind]} ${line}\n`).join("")
  if (!isLong) return <span class={kind}>{draw(lines)}</span>
  return (
    <span class={kind}>
      {draw(head)}
      <span class="skipped">{`  … ${lines.length - head.length - tail.length} lines as before\n`}</span>
      {draw(tail)}
    </span>
  )
}
