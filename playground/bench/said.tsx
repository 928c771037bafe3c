import type { Signal } from "@preact/signals"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Words } from "../../compiler/wording/words.ts"

/** A message of the bench, and what can be done about it. */
export interface Message {
  readonly text: string
  readonly action?: { readonly label: string; readonly run: () => void } | undefined
}

/** What the bench has said last, until it is closed. */
export function Said({ words, said }: { words: Words; said: Signal<Message | undefined> }) {
  const { text, action } = said.value ?? {}
  const close = () => {
    said.value = undefined
  }
  return (
    <div class="said row" role="status">
      {text}
      {action && (
        <button
          type="button"
          onClick={() => {
            action.run()
            close()
          }}
        >
          {action.label}
        </button>
      )}
      {text && (
        <button type="button" class="plain" onClick={close}>
          {words.say(m.close)}
        </button>
      )}
    </div>
  )
}
