import type { build, Rolldown } from "vite"

type Files = Rolldown.RolldownOutput["output"]

/** The files of a build of one format that isn't watched. */
export function outputOf(result: Awaited<ReturnType<typeof build>>): Files {
  const [first] = [result].flat()
  if (!first || !("output" in first))
    throw new Error("A build of one format that isn't watched has one output.")
  return first.output
}

export function codeOf(output: Files): string {
  return output.flatMap((file) => (file.type === "chunk" ? [file.code] : [])).join("")
}
