import "../style/write.css"
import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { addPictures, PICTURE_KINDS } from "../actions/pictures.ts"
import { saveActiveFile } from "../actions/save.ts"
import { paneStyle } from "../state/panes.ts"
import { isEmpty } from "../state/state.ts"
import { Lazy } from "../ui/lazy.tsx"
import { Splitter } from "../ui/splitter.tsx"
import { Files } from "../write/files.tsx"
import { isGraphBeside, SidePanel } from "../write/side-panel.tsx"
import { Welcome } from "../write/welcome.tsx"

const editor = () => import("../editor/editor.tsx").then(({ Editor }) => Editor)
/** Milliseconds after which it is fetched for whoever still reads the welcome. */
const AHEAD = 3000

const carriesFiles = ({ dataTransfer }: DragEvent) => dataTransfer?.types.includes("Files") ?? false

function acceptFiles(event: DragEvent): void {
  if (carriesFiles(event)) event.preventDefault()
}

/** Pictures that are dropped on the page are added; a browser would open them in its place. */
function takePictures(event: DragEvent): void {
  if (!carriesFiles(event)) return
  event.preventDefault()
  const isPicture = ({ name }: File) => PICTURE_KINDS.some((kind) => name.toLowerCase().endsWith(kind))
  void addPictures([...(event.dataTransfer?.files ?? [])].filter(isPicture))
}

/** The text, what is wrong with it, and what it comes to. */
export function Write() {
  // Whoever deletes the whole text stays in it.
  const started = useSignal(!isEmpty.peek())
  const isWelcome = isEmpty.value && !started.value
  useEffect(() => {
    if (!isWelcome) return
    const timer = setTimeout(editor, AHEAD)
    return () => clearTimeout(timer)
  }, [isWelcome])
  useEffect(() => {
    const save = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.key !== "s" || !(event.ctrlKey || event.metaKey)) return
      event.preventDefault()
      void saveActiveFile()
    }
    addEventListener("keydown", save)
    return () => removeEventListener("keydown", save)
  }, [])
  if (isWelcome) {
    return (
      <Welcome
        onStart={() => {
          started.value = true
        }}
      />
    )
  }
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: a file is dropped on it; the button does the same by keys
    <div
      class="write"
      style={paneStyle("beside", "beside-graph")}
      onDragOver={acceptFiles}
      onDrop={takePictures}
    >
      <Files />
      <Lazy load={editor} name="the editor" />
      <SidePanel />
      {isGraphBeside.value ? (
        <Splitter pane="beside-graph" label="Width of the graph" side="right" usual={55} />
      ) : (
        <Splitter pane="beside" label="Width of what is beside the text" side="right" usual={27} />
      )}
    </div>
  )
}
