import { existsSync } from "node:fs"
import { fileURLToPath } from "node:url"

/** A file that `npm run build` makes: beside the built library, or in `dist/` when run from source. */
export function partPath(name: string): string | undefined {
  return ["../parts/", "../../../dist/parts/"]
    .map((folder) => fileURLToPath(new URL(folder + name, import.meta.url)))
    .find((place) => existsSync(place))
}
