import type { build, Rolldown } from "vite"

type Files = Rolldown.RolldownOutput["output"]

/** The files of a build of one format that isn't watched. */
export function outputOf(result: Awaited<ReturnType<typeof build>>): Files {
  return (Array.isArray(result) ? result[0]! : (result as Rolldown.RolldownOutput)).output
}

export function codeOf(output: Files): string {
  return output.flatMap((file) => (file.type === "chunk" ? [file.code] : [])).join("")
}
