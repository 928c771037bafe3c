import { chosenCase } from "../actions/case-file.ts"

/** A case by its id, as a way to its walk. */
export function CaseLink({ id, line }: { id: string; line: number }) {
  return (
    <button
      type="button"
      class="plain link"
      onClick={() => {
        chosenCase.value = line
      }}
    >
      {id}
    </button>
  )
}
