import { LARGEST_PICTURE, PICTURE_ENDINGS } from "../../compiler/model/pictures/check-picture.ts"
import { folderOf, withoutDots } from "../../compiler/model/relative-paths.ts"
import { project, say } from "../state/state.ts"
import { setPictures } from "./text.ts"

/** What pictures are called, as a field for files has it. */
export const PICTURE_KINDS = PICTURE_ENDINGS.map((ending) => `.${ending}` as const)

/** Adds files as pictures of the ruleset, each where the text names it, else in the folder `images`. */
export async function addPictures(files: readonly File[]): Promise<void> {
  const named = namedPictures()
  const added: [string, Uint8Array][] = []
  for (const file of files) {
    // Its size is reported where the text names it, as the command line does.
    const bytes = new Uint8Array(await file.slice(0, LARGEST_PICTURE + 1).arrayBuffer())
    added.push([pathFor(file.name, named), bytes])
  }
  if (added.length === 0) return
  setPictures({ ...project.value.pictures, ...Object.fromEntries(added) })
  const unused = added.map(([path]) => path).filter((path) => !named.includes(path))
  say(
    unused.length === 0
      ? `Added ${added.map(([path]) => path).join(", ")}.`
      : `Added ${unused[0]}. Write \`picture "${unused[0]}" "what it shows"\` where it belongs.`,
  )
}

export function removePicture(path: string): void {
  const { [path]: gone, ...others } = project.value.pictures ?? {}
  if (gone === undefined) return
  setPictures(others)
  const restore = () => setPictures({ ...project.value.pictures, [path]: gone })
  say(`Removed ${path}.`, { action: { label: "Restore it", run: restore } })
}

function pathFor(name: string, named: readonly string[]): string {
  return named.find((path) => path === name || path.endsWith(`/${name}`)) ?? `images/${name}`
}

/** The pictures that the texts name, as seen from the ruleset. */
function namedPictures(): string[] {
  return Object.entries(project.value.files).flatMap(([file, text]) =>
    [...text.matchAll(/\bpicture[ \t]+"([^"\n]+)"/g)].flatMap(
      ([, path = ""]) => withoutDots(folderOf(file) + path) ?? [],
    ),
  )
}
