import type { Graph } from "../run/graph.ts"
import { contentOf, digestOf, KeyError, pemBytes, type Subtle } from "./verify.ts"

/** The part of WebCrypto that signing needs too. */
export interface SigningSubtle extends Subtle {
  sign(
    algorithm: "Ed25519",
    key: Awaited<ReturnType<Subtle["importKey"]>>,
    data: Uint8Array<ArrayBuffer>,
  ): Promise<ArrayBuffer>
}

/**
 * The graph with a seal: the digest of its content, and with a private key a signature of it. An earlier seal is
 * replaced. Ed25519 signatures are deterministic (RFC 8032): the same graph and key give the same seal.
 *
 * @param key the private key as PEM (RFC 7468, PKCS #8).
 * @throws KeyError if it isn't such a key.
 */
export async function seal(
  graph: Graph,
  { subtle, key }: { readonly subtle: SigningSubtle; readonly key?: string | undefined },
): Promise<Graph> {
  const content = contentOf(graph)
  const digest = await digestOf(content, subtle)
  if (key === undefined) return { ...graph, seal: { digest } }
  let imported: Awaited<ReturnType<Subtle["importKey"]>>
  try {
    imported = await subtle.importKey("pkcs8", pemBytes(key, "PRIVATE KEY"), "Ed25519", false, ["sign"])
  } catch {
    throw new KeyError("This isn't a private Ed25519 key in PEM format.")
  }
  const bytes = new Uint8Array(await subtle.sign("Ed25519", imported, content))
  const signature = `ed25519:${btoa(String.fromCharCode(...bytes))}`
  return { ...graph, seal: { digest, signature } }
}
