import { excerpt } from "../../diagnostics/escape.ts"
import type { Declaration, PictureTree, Tree } from "../../syntax/syntax-tree.ts"
import { listed } from "../../wording/sentence.ts"
import type { Report } from "../codes.ts"
import type { Picture } from "../model.ts"
import { resolvePath } from "../relative-paths.ts"
import { checkPicture, LARGEST_PICTURES } from "./check-picture.ts"
import { declaredPictures } from "./declared-pictures.ts"

/**
 * Gives the bytes of a file, or undefined if there is none; of one that is too large, the first are enough. `left out`
 * where the host knows that the ruleset came without its pictures: it has none there then, and nothing is reported.
 */
export type ReadPicture = (path: string) => Uint8Array | "left out" | undefined

/** What each `picture` of the trees names, where it can be shown. */
export type LoadedPictures = ReadonlyMap<PictureTree, Picture>

/** Reads the pictures that trees name, and reports those that can't be shown; `folder`: the root's, with its `/`. */
export function loadPictures(
  trees: readonly Tree[],
  folder: string,
  read: ReadPicture,
  report: Report,
): LoadedPictures {
  const pictures = new Map<PictureTree, Picture>()
  const files = new Map<string, ReturnType<ReadPicture>>()
  const readOnce = (path: string) => {
    if (!files.has(path)) files.set(path, read(path))
    return files.get(path)
  }
  const counted = new Set<string>()
  let total = 0
  for (const { file, declarations } of trees) {
    for (const { tree } of declarations.flatMap(picturesIn)) {
      const path = resolvePath(tree.path, file.slice(folder.length), "images/probe.svg", report)
      const picture = path === undefined ? undefined : readOne(tree, folder + path, readOnce, report)
      if (picture === undefined) continue
      pictures.set(tree, picture)
      if (counted.has(picture.digest)) continue
      counted.add(picture.digest)
      const before = total
      total += picture.bytes.length
      if (before > LARGEST_PICTURES || total <= LARGEST_PICTURES) continue
      const message = "Up to here, the pictures of this ruleset have more than 16 MiB together."
      report.say("large-picture", tree.path.span, message, { help: "Make some of them smaller." })
    }
  }
  return pictures
}

function picturesIn(declaration: Declaration): ReturnType<typeof declaredPictures> {
  if (!("pictures" in declaration)) return []
  return declaredPictures(declaration.pictures, "cautions" in declaration ? declaration.cautions : [])
}

function readOne(
  { path: { value, span } }: PictureTree,
  path: string,
  read: ReadPicture,
  report: Report,
): Picture | undefined {
  const bytes = read(path)
  if (bytes === undefined) {
    return report.say("missing-file", span, `\`${value}\` isn't there.`, {
      help: `It was looked for as \`${path}\`: correct the path, or add the picture.`,
    })
  }
  if (bytes === "left out") return undefined
  const checked = checkPicture(bytes)
  if ("code" in checked)
    return report.say(checked.code, span, `${excerpt(value)} ${checked.why}.`, { help: checked.help })
  const { picture, removed } = checked
  if (removed.length > 0)
    report.say("cleaned-picture", span, `${excerpt(value)} is shown without its ${listed(removed)}.`, {
      help: "A drawing only draws: remove them in the file if you don't want to be told.",
    })
  return picture
}
