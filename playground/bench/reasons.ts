import type { Entry } from "../../compiler/run/index.ts"
import type { OpenJob } from "./open-job.ts"

/** Why a step of the log couldn't be done, where somebody said so. */
export function reasonOf({ saved }: OpenJob, entry: Entry): string | undefined {
  return "cannot" in entry ? saved.value.reasons?.[JSON.stringify(entry.cannot)] : undefined
}
