/** The files of pictures: those that a ruleset names, and those that are beside a graph under their digests. */
import { existsSync, mkdirSync, readFileSync, statSync } from "node:fs"
import { dirname, join } from "node:path"
import type { Compiled } from "../../compile.ts"
import { checkPicture, LARGEST_PICTURE } from "../../model/pictures/check-picture.ts"
import { folderOf } from "../../model/relative-paths.ts"
import type { Graph, GraphPicture } from "../../run/graph.ts"
import { type PictureBytes, picturePath, picturesIn } from "../../ship/pictures.ts"
import { readStart, writeError } from "./files.ts"
import { Output } from "./output.ts"
import { err } from "./terminal.ts"
import { UserError } from "./user-error.ts"

export interface PictureFiles {
  /** @throws UserError where there is none, or it isn't the one that the graph names */
  readonly bytesOf: PictureBytes
  /** Undefined where it isn't there. */
  readonly pathOf: (picture: GraphPicture) => string | undefined
}

/** The pictures of a compiled ruleset, under the names that their author gave them. */
export function picturesOfRuleset({ model, pictures }: Compiled): PictureFiles {
  const bytes = new Map(model?.pictures?.map((each) => [each.digest, each.bytes]))
  const paths = new Map<string, string>()
  for (const [{ path }, { digest }] of pictures)
    if (!paths.has(digest)) paths.set(digest, join(folderOf(path.span.file), path.value))
  return {
    bytesOf({ digest }) {
      const found = bytes.get(digest)
      if (!found) throw new Error(`The ruleset has no picture ${digest}`)
      return found
    },
    pathOf: ({ digest }) => paths.get(digest),
  }
}

/** The pictures beside a graph. What is read is what was compiled, and clean: its digest says so. */
export function picturesBeside(graphFile: string): PictureFiles {
  const pathOf = (picture: GraphPicture) => join(dirname(graphFile), picturePath(picture))
  return {
    bytesOf(picture) {
      if (graphFile === "-")
        throw new UserError("The pictures of a graph are files beside it.", "Name the file of the graph.")
      return pictureIn(dirname(graphFile), picture)
    },
    pathOf(picture) {
      const path = pathOf(picture)
      return graphFile !== "-" && existsSync(path) ? path : undefined
    },
  }
}

function pictureIn(folder: string, picture: GraphPicture): Uint8Array {
  const name = picturePath(picture)
  let bytes: Uint8Array
  try {
    bytes = readStart(join(folder, name), LARGEST_PICTURE + 1)
  } catch (error) {
    if (!(error instanceof UserError) || error.code !== "no-such-file") throw error
    throw new UserError(
      `There is no file \`${name}\` beside the graph.`,
      "It is a picture of the graph: copy the folder `pictures` along with it.",
    )
  }
  const checked = checkPicture(bytes)
  const is = "picture" in checked ? checked.picture : undefined
  if (is?.digest === picture.digest && is.type === picture.type) return bytes
  throw new UserError(
    `\`${name}\` isn't the picture that the graph names: it was changed, or is damaged.`,
    "Compile the ruleset again, or copy the folder `pictures` again from where the graph comes from.",
  )
}

/**
 * Writes the pictures of a graph beside a file, each under its digest; one that is there already is left alone.
 *
 * @throws UserError where something else has that name
 */
export function writePictures(beside: string, graph: Graph, { bytesOf }: PictureFiles): void {
  for (const picture of picturesIn(graph)) {
    const name = picturePath(picture)
    const path = join(dirname(beside), name)
    const bytes = bytesOf(picture)
    if (statSync(path, { throwIfNoEntry: false })?.isFile()) {
      if (Buffer.from(bytes).equals(readFileSync(path))) continue
      throw new UserError(
        `\`${name}\` exists already, and isn't the picture whose digest it is called by.`,
        "Move it away.",
      )
    }
    try {
      mkdirSync(dirname(path), { recursive: true })
    } catch (error) {
      throw writeError(path, error)
    }
    new Output(path, { kind: "export" }).write(bytes)
  }
}

/** Says on standard error that what goes to standard output has no pictures beside it. */
export function sayLeftOut(graph: Graph): void {
  const { length } = picturesIn(graph)
  if (length === 0) return
  const count = length === 1 ? "1 picture isn't" : `${length} pictures aren't`
  err(`${count} in what is written: name a file with --out, and the folder \`pictures\` comes beside it.\n`)
}
