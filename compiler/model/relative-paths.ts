import { excerpt } from "../diagnostics/escape.ts"
import type { Text } from "../syntax/syntax-tree.ts"
import type { Report } from "./codes.ts"

/** With the `/` at its end; empty if the path is a name alone. */
export function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf("/") + 1)
}

/**
 * The path of a file that `from` names, both as seen from the root's folder; undefined, with the reason reported, where
 * that is no relative path to a file in there. `like`: a path as it would be right, for the message.
 */
export function resolvePath(
  { value: written, span }: Text,
  from: string,
  like: string,
  report: Report,
): string | undefined {
  if (
    written === "" ||
    /[\\\0]/.test(written) ||
    written.startsWith("/") ||
    /^[a-zA-Z][a-zA-Z0-9+.-]*:/.test(written)
  ) {
    const what = written === "" ? "An empty text" : excerpt(written)
    return report.say("bad-path", span, `${what} isn't a relative path.`, {
      help: `Name the file as seen from this one, with \`/\` between folders, like \`${like}\`.`,
    })
  }
  const path = withoutDots(folderOf(from) + written)
  if (path === "")
    return report.say("bad-path", span, `${excerpt(written)} names a folder, not a file.`, {
      help: `Name a file, like \`${like}\`.`,
    })
  if (path !== undefined) return path
  return report.say("bad-path", span, `${excerpt(written)} leads out of the ruleset's own folder.`, {
    help: "Put the file into the folder of the root ruleset, or in a folder below it.",
  })
}

/** `.` and `..` taken out; undefined where `..` climbs out of the folder that the path begins in. */
export function withoutDots(path: string): string | undefined {
  const steps: string[] = []
  for (const step of path.split("/")) {
    if (step === "" || step === ".") continue
    if (step !== "..") steps.push(step)
    else if (steps.pop() === undefined) return undefined
  }
  return steps.join("/")
}
