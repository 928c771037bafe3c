/** The option of commands that take texts in other languages from files of their own. */
import type { Command } from "commander"
import type { AnalysisOptions } from "../../compile.ts"
import { withSlashes } from "./files.ts"

export interface TextsFlags {
  readonly texts?: readonly string[]
}

export function addTextsFlag(command: Command): Command {
  return command.option(
    "--texts <file>",
    "take texts in another language from this file too; may be given several times",
    (file: string, before: readonly string[] = []) => [...before, file],
  )
}

export function textsOption({ texts = [] }: TextsFlags): Pick<AnalysisOptions, "texts"> {
  return { texts: texts.map(withSlashes) }
}
