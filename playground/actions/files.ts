/**
 * Local files. Where the browser has the File System Access API a file once opened is saved in its place; elsewhere
 * opening is a picker and saving a download.
 */
export interface OpenedFile {
  readonly name: string
  readonly text: string
  readonly handle?: FileHandle
}

export interface FileHandle {
  readonly name: string
  getFile(): Promise<File>
  createWritable(): Promise<{ write(data: string): Promise<void>; close(): Promise<void> }>
}

interface FileAccess {
  showOpenFilePicker?(options: object): Promise<FileHandle[]>
  showSaveFilePicker?(options: object): Promise<FileHandle>
}

const access = window as unknown as FileAccess
/** Where each file of the project stands on the disk, by its path in the project; empty for what came another way. */
let handles = new Map<string, FileHandle>()

/** From now on `saveInPlace` writes to these: a file of the same name that was open before is left alone. */
export function saveTo(opened: readonly (readonly [path: string, file: OpenedFile])[] = []): void {
  handles = new Map(opened.flatMap(([path, { handle }]) => (handle ? [[path, handle]] : [])))
}

/** `kinds`: endings with their dot. Undefined where the user turned back. */
export async function openFiles(kinds: readonly string[], many = true): Promise<OpenedFile[] | undefined> {
  if (!access.showOpenFilePicker) return pick(kinds, many)
  try {
    const chosen = await access.showOpenFilePicker({
      multiple: many,
      types: [
        {
          description: kinds.join(", "),
          accept: { "text/plain": kinds.map((kind) => kind.replace(/^.*\./, ".")) },
        },
      ],
    })
    return await Promise.all(
      chosen.map(async (handle) => ({
        name: handle.name,
        text: await (await handle.getFile()).text(),
        handle,
      })),
    )
  } catch (error) {
    if (turnedBack(error)) return undefined
    return pick(kinds, many)
  }
}

/** Writes to the file it was opened from, or to one that the user names; else downloads. True where it was written. */
export async function saveInPlace(path: string, text: string): Promise<boolean> {
  const suggestedName = path.slice(path.lastIndexOf("/") + 1)
  if (access.showSaveFilePicker) {
    try {
      const handle = handles.get(path) ?? (await access.showSaveFilePicker({ suggestedName }))
      handles.set(path, handle)
      const file = await handle.createWritable()
      await file.write(text)
      await file.close()
      return true
    } catch (error) {
      if (turnedBack(error)) return false
    }
  }
  saveFile(suggestedName, text, "text/plain")
  return true
}

function turnedBack(error: unknown): boolean {
  return error instanceof DOMException && error.name === "AbortError"
}

export function saveFile(name: string, content: string | Uint8Array<ArrayBuffer>, type: string): void {
  const charset = typeof content === "string" ? ";charset=utf-8" : ""
  const address = URL.createObjectURL(new Blob([content], { type: `${type}${charset}` }))
  const link = document.createElement("a")
  link.href = address
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

export function readDropped(list: FileList): Promise<OpenedFile[]> {
  return Promise.all([...list].map(async (file) => ({ name: file.name, text: await file.text() })))
}

function pick(kinds: readonly string[], many: boolean): Promise<OpenedFile[] | undefined> {
  return new Promise((done) => {
    const input = document.createElement("input")
    input.type = "file"
    input.multiple = many
    input.accept = kinds.join(",")
    input.addEventListener("change", () => done(input.files ? readDropped(input.files) : undefined))
    input.addEventListener("cancel", () => done(undefined))
    input.click()
  })
}
