import { activeFile, project, say } from "../state/state.ts"
import { casesState } from "./case-file.ts"
import { saveFile, saveInPlace } from "./files.ts"

/** Saves a file of the ruleset where it came from, or where the user says. */
export async function saveSource(file: string): Promise<void> {
  if (await saveInPlace(file, project.value.files[file] ?? "")) say(`Saved ${file}.`)
}

/** Saves the file that is shown. */
export function saveActiveFile(): Promise<void> {
  return saveSource(activeFile.value)
}

/** The cases at hand, one a line. */
export function saveCases(): void {
  const { name, text } = casesState.value
  saveFile(name || "cases.jsonl", `${text}\n`, "application/x-ndjson")
}
