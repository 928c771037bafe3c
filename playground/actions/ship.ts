import type { Graph, GraphPicture } from "../../compiler/run/graph.ts"
import { picturePath, picturesIn } from "../../compiler/ship/pictures.ts"
import { type TargetName, targets } from "../../compiler/ship/targets.ts"
import { pictureAddresses } from "../bench/pictures.tsx"
import { fetchParts } from "../ship/parts.ts"
import { signed } from "../ship/signing.ts"
import { compiled, say } from "../state/state.ts"
import { storeValue } from "../state/store.ts"
import { saveFile } from "./files.ts"

/** What is shipped is kept too, so that the next version can be held against it on the same cases. */
async function rememberShipped(): Promise<void> {
  const made = compiled.value
  if (made) await storeValue("shipped", made.text).catch(() => {})
}

/** What the address of a picture holds. */
function pictureBytes({ digest }: GraphPicture): Uint8Array<ArrayBuffer> {
  const address = pictureAddresses.peek()[digest] ?? ""
  return Uint8Array.from(atob(address.slice(address.indexOf(",") + 1)), (each) => each.charCodeAt(0))
}

/** A graph as the command line writes it, signed where it carries the graph and there is a key. */
export async function written(graph: Graph, name: TargetName): Promise<string> {
  const { files, carries } = targets[name]
  const part = await fetchParts(files[0].needs ?? [])
  return files[0].write(carries ? await signed(graph) : graph, { part, pictureBytes })
}

/** A graph that was written, with its pictures where the target has them beside it. */
export function saveWritten(graph: Graph, name: TargetName, text: string): void {
  const { files, pictures } = targets[name]
  const { ending, type } = files[0]
  saveFile(`${graph.ruleset.name}${ending}`, text, type)
  if (pictures) savePictures(graph)
}

/** Each in a file of its own: a page can't make the folder in which they belong. */
function savePictures(graph: Graph): void {
  for (const picture of picturesIn(graph)) {
    const [folder, name = ""] = picturePath(picture).split("/")
    saveFile(name, pictureBytes(picture), picture.type)
    say(`Put the pictures into a folder \`${folder}\` beside the file. A page carries them itself.`)
  }
}

export async function shipAs(name: TargetName): Promise<void> {
  const made = compiled.value
  if (!made) return
  try {
    saveWritten(made.graph, name, await written(made.graph, name))
    await rememberShipped()
  } catch {
    say("The file could not be put together. Load this site again and try once more.", { bad: true })
  }
}
