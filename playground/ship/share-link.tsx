import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { grouped } from "../../compiler/wording/figures.ts"
import { toFragment } from "../share/share.ts"
import { pathsOfPictures } from "../state/project.ts"
import { project, say } from "../state/state.ts"
import { QrCode } from "./qr-code.tsx"

/** The ruleset in an address, to send or to photograph. */
export function ShareLink() {
  const link = useSignal("")
  const now = project.value
  useEffect(() => {
    link.value = ""
  }, [now, link])
  const make = async () => {
    link.value = `${location.href.split("#", 1)[0]}#${await toFragment(project.value)}`
    try {
      await navigator.clipboard.writeText(link.value)
      say("Copied the link.")
    } catch {
      say("Copy the link from the field.")
    }
  }
  return (
    <section class="card" aria-labelledby="link-title">
      <h2 id="link-title">Share by link</h2>
      <p class="small quiet">
        {pathsOfPictures(now).length === 0
          ? "The link contains the whole ruleset; no server stores it. It opens at the bench."
          : "The link contains the ruleset without its pictures, which are too large for it. Ship a page to send both."}
      </p>
      <p class="row">
        <button type="button" onClick={make}>
          Make a link
        </button>
        {link.value !== "" && (
          <>
            <label class="unseen" for="share-link">
              Link
            </label>
            <input
              id="share-link"
              class="grow"
              type="text"
              readOnly
              value={link}
              onFocus={(e) => e.currentTarget.select()}
            />
            <span class="small quiet">{grouped(link.value.length)} characters</span>
          </>
        )}
      </p>
      {link.value !== "" && <QrCode text={link.value} label="The link as a QR code" />}
    </section>
  )
}
