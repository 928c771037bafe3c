import { activeFile, project, say } from "../state/state.ts"
import { saveInPlace } from "./files.ts"

/** Saves the file that is shown where it came from, or where the user says. */
export async function saveActiveFile(): Promise<void> {
  const file = activeFile.value
  if (await saveInPlace(file, project.value.files[file] ?? "")) say(`Saved ${file}.`)
}
