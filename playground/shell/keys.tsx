import KeysIcon from "lucide/dist/esm/icons/keyboard.mjs"
import { useRef } from "preact/hooks"
import { Icon } from "../ui/icon.tsx"

const KEYS: readonly (readonly [string, string])[] = [
  ["Alt 1 … Alt 5", "go to a station"],
  ["Alt 6", "help"],
  ["Ctrl Space", "suggestions (Write)"],
  ["Tab", "accept the suggestion (Write)"],
  ["F8, Shift F8", "next, previous problem (Write)"],
  ["Ctrl .", "fixes for the problem (Write)"],
  ["F12, Shift F12", "definition, every use (Write)"],
  ["Ctrl K, then Ctrl I", "details of the name or line at the caret (Write)"],
  ["F2", "rename in all files (Write)"],
  ["Shift Alt F", "format the file (Write)"],
  ["Ctrl Shift O", "outline (Write)"],
  ["F1", "all commands (Write)"],
  ["Ctrl S", "save the file (Write)"],
  ["Ctrl M", "make Tab leave the editor, or indent again"],
  ["Esc, then Tab", "leave the editor"],
  ["Arrows", "walk the graph: forward, back, between outcomes (Graph)"],
  ["+ − 0", "zoom in, zoom out, whole graph (Graph)"],
]

/** All keys in one place: everything can be done without a pointer. */
export function Keys() {
  const dialog = useRef<HTMLDialogElement>(null)
  return (
    <>
      <button
        type="button"
        class="tool"
        aria-label="Keys"
        title="Keys"
        aria-haspopup="dialog"
        onClick={() => dialog.current?.showModal()}
      >
        <Icon of={KeysIcon} />
      </button>
      <dialog ref={dialog} aria-labelledby="keys-title">
        <h2 id="keys-title">Keys</h2>
        <table>
          <tbody>
            {KEYS.map(([key, what]) => (
              <tr key={key}>
                <th scope="row">{key}</th>
                <td>{what}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p class="row">
          <button type="button" class="main" onClick={() => dialog.current?.close()}>
            Close
          </button>
        </p>
      </dialog>
    </>
  )
}
