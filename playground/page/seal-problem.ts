import { sha256 } from "@noble/hashes/sha2.js"
import { bytesToHex } from "@noble/hashes/utils.js"
import type { Graph } from "../../compiler/run/index.ts"
import { contentOf } from "../../compiler/ship/verify.ts"

/**
 * Why the page's graph must not be used; undefined where nothing is known against it. WebCrypto isn't there for every
 * page of a file, so the digest is made here. Whoever can change the page can take this out: it shows damage and age.
 */
export function sealProblem(graph: Graph, now: string): string | undefined {
  if (!Object.hasOwn(graph, "seal")) return undefined
  const { digest, expires } = Object(graph.seal) as { digest?: unknown; expires?: unknown }
  if (digest !== `sha256:${bytesToHex(sha256(contentOf(graph)))}`)
    return "This page was changed after its graph was sealed: don't use it, and get it again from where it comes from."
  if (typeof expires === "string" && expires.slice(0, 19) <= now.slice(0, 19))
    return `This page was made to be used until ${expires.slice(0, 10)}: get a newer one.`
  return undefined
}
