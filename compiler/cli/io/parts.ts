import { existsSync, readFileSync } from "node:fs"
import { fileURLToPath } from "node:url"
import { UserError } from "./user-error.ts"

/** A file that `npm run build` makes: beside the built library, or in `dist/` when run from source. */
export function partPath(name: string): string | undefined {
  return ["../parts/", "../../../dist/parts/"]
    .map((folder) => fileURLToPath(new URL(folder + name, import.meta.url)))
    .find((place) => existsSync(place))
}

/** @throws UserError where it isn't there. */
export function readPart(name: string): string {
  const path = partPath(name)
  if (path === undefined)
    throw new UserError(`The file \`${name}\` that this export needs is missing.`, "Run `npm run build`.")
  return readFileSync(path, "utf8")
}
