import { CommanderError } from "commander"
import { RunError } from "../../run/index.ts"
import { err, hasColor, plain, style } from "./terminal.ts"
import { type Exit, UserError } from "./user-error.ts"

/** Says what went wrong, on standard error. */
export function reportError(error: unknown): Exit {
  // Commander has printed its message.
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2
  const { bad, bold } = style(hasColor(process.stderr))
  const known = error instanceof UserError || error instanceof RunError
  const message = error instanceof Error ? error.message : String(error)
  err(`${bad("ruleout:")} ${known ? plain(message) : `Internal error: ${plain(message)}`}\n`)
  const hint = error instanceof UserError ? error.hint : undefined
  if (hint !== undefined) err(`  ${bold("help:")} ${plain(hint)}\n`)
  if (process.env.RULEOUT_DEBUG === "1") err(`${plain(error instanceof Error ? (error.stack ?? "") : "")}\n`)
  else if (!known)
    err(`  ${bold("help:")} Please report it, with the file and with what RULEOUT_DEBUG=1 prints.\n`)
  return 2
}
