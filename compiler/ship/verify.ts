import { canonicalJson } from "./canonical-json.ts"

/** The part of WebCrypto (W3C) that is used: `crypto.subtle` in browsers and in Node. */
export interface Subtle {
  digest(algorithm: "SHA-256", data: Uint8Array<ArrayBuffer>): Promise<ArrayBuffer>
  importKey(
    format: "spki" | "pkcs8",
    data: Uint8Array<ArrayBuffer>,
    algorithm: "Ed25519",
    extractable: boolean,
    usages: ("sign" | "verify")[],
  ): Promise<CryptoKeyLike>
  verify(
    algorithm: "Ed25519",
    key: CryptoKeyLike,
    signature: Uint8Array<ArrayBuffer>,
    data: Uint8Array<ArrayBuffer>,
  ): Promise<boolean>
}

// biome-ignore lint/suspicious/noExplicitAny: a key is opaque, and each host has its own type of it
type CryptoKeyLike = any

export interface Verified {
  /** `sha256:…` of the content, in hexadecimal digits. */
  readonly digest: string
  /** The graph has a signature. */
  readonly signed: boolean
  /** The signature was checked with a key and holds. */
  readonly authentic: boolean
}

/** The graph isn't what was sealed. The message is for whoever is about to use it. */
export class VerifyError extends Error {
  override readonly name = "VerifyError"
}

/** The key can't be used. */
export class KeyError extends Error {
  override readonly name = "KeyError"
}

/**
 * Checks the seal of a graph, parsed from its JSON, before it is opened: the digest (SHA-256, FIPS 180-4) always, the
 * signature (Ed25519, RFC 8032) if a public key is given. Imports nothing but the canonical JSON that is digested.
 *
 *     await verify(graph, { subtle: crypto.subtle, key: "-----BEGIN PUBLIC KEY-----…" })
 *
 * A digest alone shows damage; only a signature proves who wrote the graph.
 *
 * @param key the public key as PEM (RFC 7468, SubjectPublicKeyInfo). With it an unsigned graph is refused.
 * @throws VerifyError if there is no seal, or it doesn't hold; KeyError if `key` isn't such a key.
 */
export async function verify(
  graph: unknown,
  { subtle, key }: { readonly subtle: Subtle; readonly key?: string | undefined },
): Promise<Verified> {
  const { digest, signature } = sealOf(graph)
  const content = contentOf(graph)
  if ((await digestOf(content, subtle)) !== digest)
    throw new VerifyError("This graph was changed after it was sealed: its content doesn't match its digest.")
  if (key === undefined) return { digest, signed: signature !== undefined, authentic: false }
  if (signature === undefined)
    throw new VerifyError("This graph isn't signed, so no key can prove who wrote it.")
  const bytes = /^ed25519:([\w+/]{86}==)$/.exec(signature)?.[1]
  if (bytes === undefined || !(await holds(base64(bytes), content, key, subtle)))
    throw new VerifyError("This graph wasn't signed with that key, or it was changed after it was signed.")
  return { digest, signed: true, authentic: true }
}

function sealOf(graph: unknown): { digest: string; signature: string | undefined } {
  const { digest, signature } = ((graph as { seal?: unknown } | null)?.seal ?? {}) as Record<string, unknown>
  if (typeof digest !== "string") throw new VerifyError("This graph has no seal: ship it with --sign.")
  if (signature !== undefined && typeof signature !== "string")
    throw new VerifyError("The signature of this graph isn't text.")
  return { digest, signature }
}

async function holds(
  signature: Uint8Array<ArrayBuffer>,
  content: Uint8Array<ArrayBuffer>,
  pem: string,
  subtle: Subtle,
): Promise<boolean> {
  let key: CryptoKeyLike
  try {
    key = await subtle.importKey("spki", pemBytes(pem, "PUBLIC KEY"), "Ed25519", false, ["verify"])
  } catch {
    throw new KeyError("This isn't a public Ed25519 key in PEM format.")
  }
  return subtle.verify("Ed25519", key, signature, content)
}

/** What is digested and signed: the graph without its seal, as canonical JSON in UTF-8. */
export function contentOf(graph: unknown): Uint8Array<ArrayBuffer> {
  const { seal: _, ...rest } = Object(graph) as Record<string, unknown>
  try {
    return new TextEncoder().encode(canonicalJson(rest)) as Uint8Array<ArrayBuffer>
  } catch {
    throw new VerifyError("This isn't a graph: it is nested too deep, or a number in it is too large.")
  }
}

export async function digestOf(content: Uint8Array<ArrayBuffer>, subtle: Subtle): Promise<string> {
  const bytes = new Uint8Array(await subtle.digest("SHA-256", content))
  return `sha256:${Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("")}`
}

/** The bytes of one block of a PEM text (RFC 7468). @throws if there is none with that label. */
export function pemBytes(pem: string, label: string): Uint8Array<ArrayBuffer> {
  const [, , body] = pem.split(new RegExp(`-----(BEGIN|END) ${label}-----`))
  return base64(body!.replace(/\s/g, ""))
}

function base64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (character) => character.charCodeAt(0))
}
