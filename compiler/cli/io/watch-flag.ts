/** Commands that go on: again whenever a file that they read changes. */
import type { Command } from "commander"
import { grouped } from "../../wording/figures.ts"
import { filesLookedFor, forgetFiles, noteLookedFor } from "./known-files.ts"
import { reportError } from "./report-error.ts"
import { err } from "./terminal.ts"
import { type Exit, UserError } from "./user-error.ts"
import { nextChange } from "./watch-files.ts"

export interface WatchFlags {
  readonly watch?: true
}

export function addWatchFlag(command: Command): Command {
  return command.option("--watch", "run again whenever a file that was read changes")
}

/** Does the work once, or with `--watch` until the process is interrupted. */
export async function runWatched(
  files: readonly string[],
  { watch }: WatchFlags,
  work: () => Exit,
  changed: (files: readonly string[]) => Promise<boolean> = nextChange,
): Promise<Exit> {
  if (!watch) return work()
  if (files.includes("-"))
    throw new UserError("Standard input can't be watched.", "Name the file, or leave out --watch.")
  let exit = attempt(work)
  for (;;) {
    // The work may have failed before it came to some.
    for (const file of files) noteLookedFor(file)
    const known = filesLookedFor()
    err(`Watching ${known.length === 1 ? "1 file" : `${grouped(known.length)} files`}; Ctrl+C ends it.\n`)
    if (!(await changed(known))) return exit
    forgetFiles()
    exit = attempt(work)
  }
}

/** What was wrong may be right the next time. */
function attempt(work: () => Exit): Exit {
  try {
    return work()
  } catch (error) {
    return reportError(error)
  }
}
