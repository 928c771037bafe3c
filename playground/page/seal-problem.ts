import { sha256 } from "@noble/hashes/sha2.js"
import { bytesToHex } from "@noble/hashes/utils.js"
import type { Graph } from "../../compiler/run/index.ts"
import { contentOf } from "../../compiler/ship/verify.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { Words } from "../../compiler/wording/words.ts"

/**
 * Why the page's graph must not be used; undefined where nothing is known against it. WebCrypto isn't there for every
 * page of a file, so the digest is made here. Whoever can change the page can take this out: it shows damage and age.
 */
export function sealProblem(graph: Graph, now: string, words: Words): string | undefined {
  if (!Object.hasOwn(graph, "seal")) return undefined
  const { digest, expires } = Object(graph.seal) as { digest?: unknown; expires?: unknown }
  if (digest !== `sha256:${bytesToHex(sha256(contentOf(graph)))}`) return words.say(m.pageChanged)
  if (typeof expires === "string" && expires.slice(0, 19) <= now.slice(0, 19))
    return words.say(m.pageExpired, { day: expires.slice(0, 10) })
  return undefined
}
