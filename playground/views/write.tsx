import "../style/write.css"
import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { Late } from "../late.tsx"
import { isEmpty } from "../state.ts"
import { Files } from "../write/files.tsx"
import { SidePanel } from "../write/side-panel.tsx"
import { Welcome } from "../write/welcome.tsx"

const editor = () => import("../editor/editor.tsx").then(({ Editor }) => Editor)
/** Milliseconds after which it is fetched for whoever still reads the welcome. */
const AHEAD = 3000

/** The text, what is wrong with it, and what it comes to. */
export function Write() {
  const started = useSignal(false)
  const isWelcome = isEmpty.value && !started.value
  useEffect(() => {
    if (!isWelcome) return
    const timer = setTimeout(editor, AHEAD)
    return () => clearTimeout(timer)
  }, [isWelcome])
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
    <div class="write">
      <Files />
      <Late load={editor} name="the editor" />
      <SidePanel />
    </div>
  )
}
