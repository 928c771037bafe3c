import KeysIcon from "lucide/dist/esm/icons/keyboard.mjs"
import CloseIcon from "lucide/dist/esm/icons/x.mjs"
import { Fragment } from "preact"
import { useRef } from "preact/hooks"
import { Tool } from "../ui/tool.tsx"

type KeyList = readonly (readonly [keys: string, what: string])[]

const EVERYWHERE: KeyList = [
  ["Alt 1 … Alt 5", "go to a station"],
  ["Alt 6", "help"],
]
const GRAPH: KeyList = [
  ["Arrows", "walk it: forward, back, between outcomes"],
  ["Home", "back to the start"],
  ["Enter", "unfold what follows"],
  ["+ − 0", "zoom in, zoom out, whole graph"],
]
const PANES: KeyList = [
  ["← →", "make the pane wider or narrower"],
  ["Home", "its own width again"],
]
const WRITE: KeyList = [
  ["Ctrl Space", "suggestions"],
  ["Tab", "accept the suggestion"],
  ["F8, Shift F8", "next, previous problem"],
  ["Ctrl .", "fixes for the problem"],
  ["F12, Shift F12", "definition, every use"],
  ["Ctrl K, Ctrl I", "details of the name or line at the caret"],
  ["F2", "rename in all files"],
  ["Shift Alt F", "format the file"],
  ["Ctrl Shift O", "outline"],
  ["F1", "all commands"],
  ["Ctrl S", "save the file"],
  ["Ctrl M", "make Tab leave the editor, or indent again"],
  ["Esc, then Tab", "leave the editor"],
]

/** All keys in one place: everything can be done without a pointer. */
export function Keys() {
  const dialog = useRef<HTMLDialogElement>(null)
  return (
    <>
      <Tool
        icon={KeysIcon}
        aria-label="Keys"
        title="Keys"
        aria-haspopup="dialog"
        onClick={() => dialog.current?.showModal()}
      />
      <dialog ref={dialog} class="keys" aria-labelledby="keys-title">
        <div class="row">
          <h2 id="keys-title" class="grow">
            Keys
          </h2>
          <Tool icon={CloseIcon} aria-label="Close" onClick={() => dialog.current?.close()} />
        </div>
        <div class="keys-of">
          <KeysOf title="Write" list={WRITE} />
          <div>
            <KeysOf title="Everywhere" list={EVERYWHERE} />
            <KeysOf title="In the graph" list={GRAPH} />
            <KeysOf title="At the edge of a pane" list={PANES} />
          </div>
        </div>
      </dialog>
    </>
  )
}

function KeysOf({ title, list }: { title: string; list: KeyList }) {
  return (
    <section>
      <h3>{title}</h3>
      <dl>
        {list.map(([keys, what]) => (
          <Fragment key={keys}>
            <dt>{keys}</dt>
            <dd>{what}</dd>
          </Fragment>
        ))}
      </dl>
    </section>
  )
}
