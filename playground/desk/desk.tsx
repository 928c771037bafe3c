import { useSignal } from "@preact/signals"
import type { SheetKind } from "../../compiler/ship/sheets/sheets.ts"
import type { Jobs } from "../bench/jobs.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { LanguageChoice } from "./language-choice.tsx"
import { OwnerCard } from "./owner-card.tsx"
import { SheetsCard } from "./sheets-card.tsx"
import { Waiting } from "./waiting.tsx"

/**
 * What a shop has beside its bench: waits, the owner's bill, and sheets of paper. It stands in the slots of the bench,
 * which by itself is small enough for any page.
 */
export function Desk({ jobs, job }: { jobs: Jobs; job: OpenJob }) {
  const kind = useSignal<SheetKind | undefined>(undefined)
  return (
    <>
      <LanguageChoice jobs={jobs} job={job} />
      <Waiting jobs={jobs} job={job} />
      <OwnerCard
        job={job}
        onAsk={() => {
          kind.value = "owner"
        }}
      />
      <SheetsCard job={job} kind={kind} />
    </>
  )
}
