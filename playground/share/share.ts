import { type Project, pathsOfPictures } from "../state/project.ts"
import { LINK } from "./link.ts"

/**
 * A ruleset in the fragment of an address: JSON, deflated, base64url. A fragment is never sent to a server, so sharing a
 * link tells nobody but the one who gets it. Pictures are too large for an address: whoever opens the link is told.
 */
/** What comes out of a stranger's link is bounded: a small fragment can inflate to gigabytes. */
const MOST_TEXT = 8_000_000

export async function toFragment(project: Project): Promise<string> {
  const { root, files, lacksPictures } = project
  const lacks = lacksPictures || pathsOfPictures(project).length > 0
  const shared = { root, files, ...(lacks ? { lacksPictures: true } : {}) }
  const bytes = new TextEncoder().encode(JSON.stringify(shared))
  const packed = await through(bytes, new CompressionStream("deflate-raw"), Number.POSITIVE_INFINITY)
  let binary = ""
  for (const byte of packed) binary += String.fromCharCode(byte)
  return (
    LINK +
    btoa(binary)
      .replaceAll("+", "-")
      .replaceAll("/", "_")
      .replace(/={1,2}$/, "")
  )
}

/** Undefined where the fragment is not one of ours or is damaged. */
export async function fromFragment(fragment: string): Promise<Project | undefined> {
  if (!fragment.startsWith(LINK)) return undefined
  try {
    const binary = atob(fragment.slice(LINK.length).replaceAll("-", "+").replaceAll("_", "/"))
    const packed = Uint8Array.from(binary, (char) => char.charCodeAt(0))
    const bytes = await through(packed, new DecompressionStream("deflate-raw"), MOST_TEXT)
    return asProject(JSON.parse(new TextDecoder().decode(bytes)))
  } catch {
    return undefined
  }
}

/** Takes over what has the shape of a project and nothing else. */
export function asProject(value: unknown): Project | undefined {
  if (typeof value !== "object" || value === null) return undefined
  const { root, files, pictures, lacksPictures } = value as { readonly [F in keyof Project]?: unknown }
  if (typeof root !== "string" || typeof files !== "object" || files === null) return undefined
  const texts = Object.entries(files).filter(
    (entry): entry is [string, string] => typeof entry[1] === "string",
  )
  const own = Object.fromEntries(texts.filter(([path]) => path.endsWith(".ruleout")))
  if (!Object.hasOwn(own, root)) return undefined
  const bytes = Object.entries(Object(pictures)).filter(([, each]) => each instanceof Uint8Array)
  return {
    root,
    files: own,
    ...(bytes.length === 0 ? {} : { pictures: Object.fromEntries(bytes) as Project["pictures"] & object }),
    ...(lacksPictures === true ? { lacksPictures } : {}),
  }
}

async function through(
  bytes: Uint8Array<ArrayBuffer>,
  change: CompressionStream | DecompressionStream,
  most: number,
): Promise<Uint8Array> {
  const reader = new Blob([bytes]).stream().pipeThrough(change).getReader()
  const chunks: Uint8Array[] = []
  let size = 0
  for (;;) {
    const { done, value } = await reader.read()
    if (done) break
    size += value.length
    if (size > most) throw new RangeError("too large")
    chunks.push(value)
  }
  const whole = new Uint8Array(size)
  let at = 0
  for (const chunk of chunks) {
    whole.set(chunk, at)
    at += chunk.length
  }
  return whole
}
