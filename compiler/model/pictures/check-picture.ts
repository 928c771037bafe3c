import { sha256 } from "@noble/hashes/sha2.js"
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js"
import type { Picture } from "../model.ts"
import { cleanSvg, SvgError } from "./clean-svg.ts"
import { rasterOf } from "./raster.ts"

/** How names of pictures end; what they are is seen by what is in them. */
export const PICTURE_ENDINGS = ["png", "jpg", "jpeg", "webp", "svg"] as const

/** Bytes of one picture; a photo of 1600 pixels across has a quarter of it. */
export const LARGEST_PICTURE = 2 * 1024 * 1024
/** Of all pictures of a ruleset: a page that is shipped carries them. */
export const LARGEST_PICTURES = 16 * 1024 * 1024
/** More than this takes a phone's memory when it is shown. */
const MOST_PIXELS = 40_000_000

/** A picture that can be shown, and what was left out of it; or why it can't be, as a sentence after its name. */
export type CheckedPicture =
  | { readonly picture: Picture; readonly removed: readonly string[] }
  | { readonly code: "bad-picture" | "large-picture"; readonly why: string; readonly help: string }

/** By the bytes as they were given: an editor gives the same ones with every keystroke. */
const CHECKED = new WeakMap<Uint8Array, CheckedPicture>()

export function checkPicture(bytes: Uint8Array): CheckedPicture {
  const known = CHECKED.get(bytes)
  if (known) return known
  const checked = check(bytes)
  CHECKED.set(bytes, checked)
  return checked
}

const SMALLER = "Make it smaller: 1600 pixels across show all that is needed at a bench."

function check(bytes: Uint8Array): CheckedPicture {
  if (bytes.length > LARGEST_PICTURE)
    return { code: "large-picture", why: "is larger than 2 MiB", help: SMALLER }
  const raster = rasterOf(bytes)
  if (raster === undefined) return checkDrawing(bytes)
  if (raster.width * raster.height > MOST_PIXELS) {
    const why = `has ${raster.width} × ${raster.height} pixels, more than 40 million`
    return { code: "large-picture", why, help: SMALLER }
  }
  return { picture: { ...raster, digest: digestOf(bytes), bytes }, removed: [] }
}

function checkDrawing(bytes: Uint8Array): CheckedPicture {
  const text = textOf(bytes)
  if (text === undefined || !/^\s*</.test(text)) {
    const help = "Pictures are PNG, JPEG, WebP or SVG files. Save it as one of them."
    return { code: "bad-picture", why: "isn't a picture that can be shown", help }
  }
  try {
    const { text: clean, removed, ...size } = cleanSvg(text)
    const cleaned = utf8ToBytes(clean)
    return {
      picture: { type: "image/svg+xml", ...size, digest: digestOf(cleaned), bytes: cleaned },
      removed,
    }
  } catch (error) {
    if (!(error instanceof SvgError)) throw error
    return { code: "bad-picture", why: error.message, help: "Save it as plain SVG in the drawing program." }
  }
}

/** Undefined if it isn't UTF-8. */
function textOf(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes)
  } catch {
    return undefined
  }
}

function digestOf(bytes: Uint8Array): string {
  return `sha256:${bytesToHex(sha256(bytes))}`
}
