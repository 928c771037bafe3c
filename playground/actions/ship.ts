import type { Graph } from "../../compiler/run/graph.ts"
import { type PictureBytes, picturePath, picturesIn } from "../../compiler/ship/pictures.ts"
import { type TargetName, targets } from "../../compiler/ship/targets.ts"
import { pictureAddresses } from "../bench/pictures.tsx"
import { fetchParts } from "../ship/parts.ts"
import { signed } from "../ship/signing.ts"
import { compiled, say } from "../state.ts"
import { storeValue } from "../store.ts"
import { saveFile } from "./files.ts"

/** What is shipped is kept too, so that the next version can be held against it on the same cases. */
async function rememberShipped(): Promise<void> {
  const made = compiled.value
  if (made) await storeValue("shipped", made.text).catch(() => {})
}

/** A graph as the command line writes it, signed where it carries the graph and there is a key. */
export async function written(graph: Graph, name: TargetName): Promise<string> {
  const pictureBytes: PictureBytes = ({ digest }) => bytesIn(pictureAddresses.peek()[digest] ?? "")
  const { files, carries } = targets[name]
  const part = await fetchParts(files[0].needs ?? [])
  return files[0].write(carries ? await signed(graph) : graph, { part, pictureBytes })
}

/** Each in a file of its own: a page can't make the folder in which they belong. */
export function savePictures(graph: Graph): void {
  for (const picture of picturesIn(graph)) {
    const [folder, name = ""] = picturePath(picture).split("/")
    saveFile(name, bytesIn(pictureAddresses.peek()[picture.digest] ?? ""), picture.type)
    say(`Put the pictures into a folder \`${folder}\` beside the file. A page carries them itself.`)
  }
}

/** What an address holds. */
function bytesIn(address: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(address.slice(address.indexOf(",") + 1)), (each) => each.charCodeAt(0))
}

export async function shipAs(name: TargetName): Promise<void> {
  const made = compiled.value
  if (!made) return
  try {
    const { ending, type } = targets[name].files[0]
    saveFile(`${made.graph.ruleset.name}${ending}`, await written(made.graph, name), type)
    if (targets[name].pictures) savePictures(made.graph)
    await rememberShipped()
  } catch {
    say("The file could not be put together. Load this site again and try once more.", { bad: true })
  }
}
