import { spawnSync } from "node:child_process"
import { debian } from "./debian.ts"

/** What Graphviz's `dot` makes of a drawing, in one of its formats. @throws where it cannot read it. */
export function graphviz(dot: string, format: "dot_json" | "svg"): string {
  const ran = spawnSync(program(), [`-T${format}`], { input: dot, encoding: "utf8", maxBuffer: 1 << 26 })
  if (ran.status !== 0 || ran.stderr !== "") throw new Error(`Graphviz: ${ran.stderr || ran.error}`)
  return ran.stdout
}

function program(): string {
  const found = debian(["/usr/bin/dot"], "graphviz")
  if (found === undefined)
    throw new Error("These tests need Graphviz, and none was found. On Debian: `apt-get install graphviz`.")
  return found
}
