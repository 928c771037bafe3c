import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { Lines } from "../../compiler/diagnostics/line-index.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { openInstead } from "../actions/text.ts"
import { project, savedAt } from "../state/state.ts"
import { nameVersion, type Version, versions } from "../state/store.ts"
import { Difference } from "./difference.tsx"
import { whenOf } from "./version-text.ts"

/** What the text was before: to open, to name, and to hold against each other. */
export function History() {
  const list = useSignal<readonly Version[]>([])
  const compared = useSignal<Version | undefined>(undefined)
  const read = () =>
    versions().then((found) => {
      list.value = found
    })
  const now = project.value
  // The text is kept a moment after it changed.
  const saved = savedAt.value
  useEffect(() => {
    void read()
  }, [now, saved])
  return (
    <section class="card" aria-labelledby="history-title">
      <h2 id="history-title">Earlier versions</h2>
      <p class="small quiet">
        The last forty, stored in this browser about once a minute while you write. A version with a name
        stays.
      </p>
      {list.value.length === 0 ? (
        <p class="quiet">None yet.</p>
      ) : (
        <ul class="history">
          {list.value.map((each) => (
            <Earlier
              key={each.at}
              version={each}
              onName={async (title) => {
                await nameVersion(each, title)
                await read()
              }}
              onCompare={() => {
                compared.value = each
              }}
            />
          ))}
        </ul>
      )}
      {compared.value && (
        <Difference
          key={compared.value.at}
          version={compared.value}
          all={list.value}
          onClose={() => {
            compared.value = undefined
          }}
        />
      )}
    </section>
  )
}

interface EarlierProps {
  readonly version: Version
  readonly onName: (title: string) => void
  readonly onCompare: () => void
}

function Earlier({ version, onName, onCompare }: EarlierProps) {
  const { title, project } = version
  const when = whenOf(version)
  const lines = Object.values(project.files).reduce((sum, text) => sum + new Lines(text).count, 0)
  return (
    <li>
      <span>
        {version.named && <b>{title} </b>}
        {when}{" "}
        <span class="small quiet">
          {project.root}, {countOf(lines, "line")}
          {version.named || title === "" ? "" : `, ${title}`}
        </span>
      </span>
      <span class="row small">
        <button
          type="button"
          class="plain link"
          aria-label={`Open the version of ${when}`}
          onClick={() => openInstead(project, `Opened the version of ${when}.`)}
        >
          Open
        </button>
        <button
          type="button"
          class="plain link"
          aria-label={`Compare with the version of ${when}`}
          onClick={onCompare}
        >
          Compare with…
        </button>
        <input
          type="text"
          class="version-name grow"
          placeholder="Name"
          maxLength={80}
          aria-label={`Name of the version of ${when}`}
          value={version.named ? title : ""}
          onChange={(event) => onName(event.currentTarget.value.trim())}
        />
      </span>
    </li>
  )
}
