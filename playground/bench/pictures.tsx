import { signal } from "@preact/signals"
import { useRef } from "preact/hooks"
import type { ShownPicture } from "../../compiler/ship/pictures.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Words } from "../../compiler/wording/words.ts"

/** Where the bytes of pictures are, by digest: whatever the graph, one digest is one picture. */
export const pictureAddresses = signal<Readonly<Record<string, string>>>({})

export function keepPictures(more: Readonly<Record<string, string>>): void {
  pictureAddresses.value = { ...pictureAddresses.peek(), ...more }
}

/** Pictures of a step or of one of its cautions. */
export function Pictures({ words, of }: { readonly words: Words; readonly of: readonly ShownPicture[] }) {
  return of.length === 0 ? null : (
    <div class="pictures">
      {of.map((each) => (
        <Picture key={each.text} words={words} {...each} />
      ))}
    </div>
  )
}

/** Small beside its words; as large as the screen allows once it is pressed. Where it isn't here, the words are. */
function Picture({ words, picture: { digest, width, height }, text }: ShownPicture & { words: Words }) {
  const dialog = useRef<HTMLDialogElement>(null)
  const src = pictureAddresses.value[digest]
  if (!src) return <p class="quiet">{words.say(m.pictureText, { text })}</p>
  return (
    <figure>
      <button
        type="button"
        class="plain"
        aria-label={words.say(m.enlarge, { text })}
        onClick={() => dialog.current?.showModal()}
      >
        <img src={src} alt={text} width={width} height={height} />
      </button>
      <figcaption>{text}</figcaption>
      <dialog ref={dialog} aria-label={text}>
        <form method="dialog">
          <img src={src} alt={text} />
          <button type="submit">{words.say(m.close)}</button>
        </form>
      </dialog>
    </figure>
  )
}
