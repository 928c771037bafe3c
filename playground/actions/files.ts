/**
 * Local files. Where the browser has the File System Access API a file once opened is saved in its place; elsewhere
 * opening is a picker and saving a download.
 */
export interface OpenedFile {
  readonly name: string
  readonly text: string
}

interface FileHandle {
  readonly name: string
  getFile(): Promise<File>
  createWritable(): Promise<{ write(data: string): Promise<void>; close(): Promise<void> }>
}

interface FileAccess {
  showOpenFilePicker?(options: object): Promise<FileHandle[]>
  showSaveFilePicker?(options: object): Promise<FileHandle>
}

const access = window as unknown as FileAccess
const handles = new Map<string, FileHandle>()

export const canSaveInPlace = access.showSaveFilePicker !== undefined

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
      chosen.map(async (handle) => {
        handles.set(handle.name, handle)
        return { name: handle.name, text: await (await handle.getFile()).text() }
      }),
    )
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return undefined
    return pick(kinds, many)
  }
}

/** Writes to the file it was opened from, or to one that the user names; else downloads. True where it was written. */
export async function saveInPlace(name: string, text: string): Promise<boolean> {
  if (!access.showSaveFilePicker) {
    saveFile(name, text, "text/plain")
    return true
  }
  try {
    const handle = handles.get(name) ?? (await access.showSaveFilePicker({ suggestedName: name }))
    handles.set(name, handle)
    const file = await handle.createWritable()
    await file.write(text)
    await file.close()
    return true
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return false
    saveFile(name, text, "text/plain")
    return true
  }
}

export function saveFile(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }))
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
    input.addEventListener("change", () => done(readDropped(input.files!)))
    input.addEventListener("cancel", () => done(undefined))
    input.click()
  })
}
