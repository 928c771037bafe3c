import type { Graph, GraphSeal } from "../run/graph.ts"
import {
  type Bytes,
  contentOf,
  digestOf,
  KeyError,
  keyBytes,
  keyIdOf,
  RELEASE,
  type Subtle,
  termsOf,
} from "./verify.ts"

type Key = Awaited<ReturnType<Subtle["importKey"]>>

/** The part of WebCrypto that signing needs too. */
export interface SigningSubtle extends Subtle {
  sign(algorithm: "Ed25519", key: Key, data: Bytes): Promise<ArrayBuffer>
  exportKey(format: "jwk", key: Key): Promise<{ readonly x?: string }>
}

export interface SealOptions {
  readonly subtle: SigningSubtle
  /** The private key as PEM (RFC 7468, PKCS #8). */
  readonly key?: string | undefined
  /** When it is signed: RFC 3339, in UTC, like `new Date().toISOString()`. Goes with `key`. */
  readonly at?: string | undefined
  /** From when on it is not to be used any more. */
  readonly expires?: string | undefined
  /** What it is signed for, `release` if not said. */
  readonly purpose?: string | undefined
}

/**
 * The graph with a seal: the digest of its content, and with a private key a signature of that, of which key it is, and
 * of what for, when and until when it was made. An earlier seal is replaced. Ed25519 signatures are deterministic
 * (RFC 8032): the same graph, key and times give the same seal.
 *
 * @throws KeyError if it isn't such a key.
 */
export async function seal(graph: Graph, options: SealOptions): Promise<Graph> {
  const { subtle, key: pem, at, expires, purpose = RELEASE } = options
  const digest = await digestOf(contentOf(graph), subtle)
  if (pem === undefined) return { ...graph, seal: { digest } }
  if (at === undefined) throw new TypeError("a signature says when it was made")
  const { key, spki } = await imported(pem, subtle)
  const terms: GraphSeal = {
    digest,
    key: await keyIdOf(spki, subtle),
    purpose,
    at: at.replace(/\.\d+Z$/, "Z"),
    ...(expires === undefined ? {} : { expires: expires.replace(/\.\d+Z$/, "Z") }),
  }
  const bytes = new Uint8Array(await subtle.sign("Ed25519", key, termsOf(terms)))
  const signature = `ed25519:${btoa(String.fromCharCode(...bytes))}`
  return { ...graph, seal: { ...terms, signature } }
}

/** The public key of a private one, both as PEM. @throws KeyError if it isn't such a key. */
export async function publicKeyOf(pem: string, subtle: SigningSubtle): Promise<string> {
  const { spki } = await imported(pem, subtle)
  return pemOf("PUBLIC KEY", spki)
}

/** A key as PEM (RFC 7468): PKCS #8 of a private one, SubjectPublicKeyInfo of a public one. */
export function pemOf(label: "PRIVATE KEY" | "PUBLIC KEY", key: Uint8Array): string {
  const lines = btoa(String.fromCharCode(...key)).match(/.{1,64}/g) ?? []
  return [`-----BEGIN ${label}-----`, ...lines, `-----END ${label}-----`, ""].join("\n")
}

/** The SubjectPublicKeyInfo of an Ed25519 key up to the key itself (RFC 8410). */
const SPKI = [0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00]

async function imported(pem: string, subtle: SigningSubtle): Promise<{ key: Key; spki: Bytes }> {
  const bytes = keyBytes(pem, "PRIVATE KEY")
  try {
    const key = await subtle.importKey("pkcs8", bytes, "Ed25519", true, ["sign"])
    const { x = "" } = await subtle.exportKey("jwk", key)
    const raw = atob(x.replaceAll("-", "+").replaceAll("_", "/"))
    return { key, spki: Uint8Array.from([...SPKI, ...Array.from(raw, (byte) => byte.charCodeAt(0))]) }
  } catch {
    throw new KeyError("This isn't a private Ed25519 key in PEM format.")
  }
}
