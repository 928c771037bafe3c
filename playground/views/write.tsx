import "../style/write.css"
import { useSignal } from "@preact/signals"
import { Editor } from "../editor/editor.tsx"
import { isEmpty } from "../state.ts"
import { Files } from "../write/files.tsx"
import { SidePanel } from "../write/side-panel.tsx"
import { Welcome } from "../write/welcome.tsx"

/** The text, what is wrong with it, and what it comes to. */
export function Write() {
  const started = useSignal(false)
  if (isEmpty.value && !started.value) {
    return (
      <Welcome
        onStart={() => {
          started.value = true
        }}
      />
    )
  }
  return (
    <div class="write">
      <Files />
      <Editor />
      <SidePanel />
    </div>
  )
}
