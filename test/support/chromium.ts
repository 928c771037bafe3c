import { existsSync } from "node:fs"
import { debian } from "./debian.ts"

const places = ["/usr/bin/chromium", "/usr/bin/chromium-browser"]

/** Flags for a headless page on a machine without a display, silent on the network. */
export const chromiumFlags = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
]

/**
 * Path of a Chromium: `RULEOUT_CHROMIUM` where it is set, else an installed one, else Debian's package, installed here
 * where we may. Throws with what to do otherwise: browser tests are never skipped in silence.
 */
export function chromium(): string {
  const told = process.env.RULEOUT_CHROMIUM
  if (told !== undefined) {
    if (existsSync(told)) return told
    throw new Error(`RULEOUT_CHROMIUM says \`${told}\`, and there is no such file.`)
  }
  return debian(places, "chromium") ?? explain()
}

function explain(): never {
  throw new Error(
    "The browser tests need Chromium, and none was found. Install it (on Debian: `apt-get install chromium`), or set RULEOUT_CHROMIUM to one.",
  )
}
