import { useSignal } from "@preact/signals"
import AddIcon from "lucide/dist/esm/icons/file-plus.mjs"
import RemoveIcon from "lucide/dist/esm/icons/file-x.mjs"
import OpenIcon from "lucide/dist/esm/icons/folder-open.mjs"
import FormatIcon from "lucide/dist/esm/icons/list-indent-increase.mjs"
import SaveIcon from "lucide/dist/esm/icons/save.mjs"
import { useEffect } from "preact/hooks"
import { at } from "../../compiler/run/lookup.ts"
import { formatFile } from "../actions/apply-edits.ts"
import { openFiles, saveTo } from "../actions/files.ts"
import { saveActiveFile } from "../actions/save.ts"
import { addFile, openProject, removeFile } from "../actions/text.ts"
import { activeFile, diagnostics, project, say } from "../state/state.ts"
import { Tool } from "../ui/tool.tsx"
import { PictureList } from "./picture-list.tsx"

/** The files of the ruleset as tabs, and what can be done with files. */
export function Files() {
  const adding = useSignal(false)
  const { root } = project.value
  return (
    <div class="files">
      <Tabs />
      <div class="toolbar">
        {adding.value ? (
          <NewFile
            onDone={() => {
              adding.value = false
            }}
          />
        ) : (
          <Tool
            icon={AddIcon}
            onClick={() => {
              adding.value = true
            }}
          >
            Add file
          </Tool>
        )}
        <PictureList />
        {activeFile.value !== root && (
          <Tool icon={RemoveIcon} onClick={() => removeFile(activeFile.value)}>
            Remove file
          </Tool>
        )}
        <Tool icon={FormatIcon} onClick={formatFile}>
          Format
        </Tool>
        <Tool icon={OpenIcon} onClick={openRuleset}>
          Open…
        </Tool>
        <Tool icon={SaveIcon} onClick={saveActiveFile} aria-keyshortcuts="Control+S">
          Save…
        </Tool>
      </div>
    </div>
  )
}

function Tabs() {
  const { root, files } = project.value
  const names = [root, ...Object.keys(files).filter((file) => file !== root)]
  const step = (event: KeyboardEvent) => {
    const by = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0
    if (by === 0) return
    const next = at(names, (names.indexOf(activeFile.value) + by + names.length) % names.length)
    activeFile.value = next
    document.getElementById(`file-${next}`)?.focus()
  }
  const active = activeFile.value
  useEffect(() => document.getElementById(`file-${active}`)?.scrollIntoView({ inline: "nearest" }), [active])
  return (
    <div class="tabs" role="tablist" aria-label="Files" onKeyDown={step}>
      {names.map((file) => {
        const errors = diagnostics.value.filter((f) => f.span.file === file && f.severity === "error").length
        return (
          <button
            key={file}
            id={`file-${file}`}
            type="button"
            role="tab"
            aria-selected={file === active}
            tabIndex={file === active ? 0 : -1}
            onClick={() => {
              activeFile.value = file
            }}
          >
            {file}
            {errors > 0 && (
              <span class="file-errors">
                {errors}
                <span class="unseen"> errors</span>
              </span>
            )}
          </button>
        )
      })}
    </div>
  )
}

async function openRuleset(): Promise<void> {
  const opened = await openFiles([".ruleout"])
  const main = opened?.find((file) => /^[ \t]*ruleset\b/m.test(file.text)) ?? opened?.[0]
  if (!opened || !main) return
  const placed = opened.map(
    (file) => [file === main ? main.name : pathAsUsed(main.text, file.name), file] as const,
  )
  openProject({
    root: main.name,
    files: Object.fromEntries(placed.map(([path, { text }]) => [path, text])),
  })
  saveTo(placed)
}

/** A picked file has no folder; it gets the one under which the main file uses it. */
function pathAsUsed(main: string, name: string): string {
  const used = [...main.matchAll(/^[ \t]*use[ \t]+"([^"\n]+)"/gm)].map(([, path]) => path)
  return used.find((path) => path === name || path?.endsWith(`/${name}`)) ?? name
}

function NewFile({ onDone }: { onDone: () => void }) {
  const name = useSignal("")
  const send = (event: Event) => {
    event.preventDefault()
    const typed = name.value.trim()
    const path = typed.endsWith(".ruleout") ? typed : `${typed}.ruleout`
    if (!/^[\p{L}\p{N}_][\p{L}\p{N}_./-]*$/u.test(path) || path.includes("..")) {
      say(`\`${typed}\` isn't a file name. Use letters, digits, \`_\`, \`-\` and \`/\` for a folder.`, {
        bad: true,
      })
      return
    }
    if (project.value.files[path] !== undefined) {
      say(`\`${path}\` is there already.`, { bad: true })
      return
    }
    addFile(path, "")
    say(`Write \`use "${path}"\` in ${project.value.root} to bring it in.`)
    onDone()
  }
  return (
    <form class="row" onSubmit={send}>
      <label class="unseen" for="new-file">
        Name of the new file
      </label>
      <input
        id="new-file"
        type="text"
        placeholder="shared/supply.ruleout"
        ref={(input) => input?.focus()}
        value={name}
        onInput={(event) => {
          name.value = event.currentTarget.value
        }}
        onKeyDown={(event) => event.key === "Escape" && onDone()}
      />
      <button type="submit" class="main">
        Add
      </button>
    </form>
  )
}
