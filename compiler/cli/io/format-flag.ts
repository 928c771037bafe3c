import { type Command, Option } from "commander"
import { UserError } from "./user-error.ts"

const FORMATS = ["text", "json", "sarif", "github", "junit"] as const

export type Format = (typeof FORMATS)[number]

export interface FormatFlags {
  readonly format?: Format
  readonly json?: true
  readonly sarif?: true
}

export function addFormatFlag(command: Command): Command {
  return command.addOption(
    new Option(
      "--format <format>",
      "text, json, sarif (2.1.0), github (notes beside the lines of a change), junit (for build servers)",
    ).choices(FORMATS),
  )
}

/** `--json` and `--sarif` are older names for two of the formats. @throws UserError where two are asked for */
export function formatOf({ format, json, sarif }: FormatFlags): Format {
  if (json && sarif) throw new UserError("Use either --json or --sarif.", "Both go to standard output.")
  const short = json ? "json" : sarif ? "sarif" : undefined
  if (format !== undefined && short !== undefined && short !== format)
    throw new UserError(`Use either --format ${format} or --${short}.`, "Both go to standard output.")
  return format ?? short ?? "text"
}
