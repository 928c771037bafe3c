import { existsSync } from "node:fs"
import { fileURLToPath } from "node:url"

/** Where the page of the codes is, as seen from what is built and from the source. */
const places = ["../../compiler/check/CODES.md", "../../check/CODES.md"].map(
  (path) => new URL(path, import.meta.url),
)

const page = places.find((place) => existsSync(fileURLToPath(place)))

/** The address of the section about a code; undefined where the page isn't installed. */
export function codePage(code: string): string | undefined {
  return page && `${page.href}#${code}`
}
