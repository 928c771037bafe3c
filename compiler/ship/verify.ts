import { canonicalJson } from "./canonical-json.ts"

/** Bytes in memory that nobody shares. TypeScript before 5.7 has one type for all of them. */
export type Bytes = ReturnType<Uint8ArrayConstructor["from"]>

/** The part of WebCrypto (W3C) that is used: `crypto.subtle` in browsers and in Node. */
export interface Subtle {
  digest(algorithm: "SHA-256", data: Bytes): Promise<ArrayBuffer>
  importKey(
    format: "spki" | "pkcs8",
    data: Bytes,
    algorithm: "Ed25519",
    extractable: boolean,
    usages: ("sign" | "verify")[],
  ): Promise<CryptoKeyLike>
  verify(algorithm: "Ed25519", key: CryptoKeyLike, signature: Bytes, data: Bytes): Promise<boolean>
}

// biome-ignore lint/suspicious/noExplicitAny: a key is opaque, and each host has its own type of it
type CryptoKeyLike = any

export interface Verified {
  /** `sha256:…` of the content, in hexadecimal digits. */
  readonly digest: string
  /** The graph has a signature. */
  readonly signed: boolean
  /** The signature was checked with a key and holds, and so does what the seal says of itself. */
  readonly authentic: boolean
  /** Which key signed it, as `keyIdOf` names keys; with the other three only of a signed graph. */
  readonly key?: string
  readonly purpose?: string
  /** When it was signed, and from when on it is not to be used any more: RFC 3339, in UTC. */
  readonly at?: string
  readonly expires?: string
}

/** The graph isn't what was sealed. The message is for whoever is about to use it. */
export class VerifyError extends Error {
  override readonly name = "VerifyError"
}

/** The key can't be used. */
export class KeyError extends Error {
  override readonly name = "KeyError"
}

export interface VerifyOptions {
  readonly subtle: Subtle
  /** The public key as PEM (RFC 7468, SubjectPublicKeyInfo). With it an unsigned graph is refused. */
  readonly key?: string | undefined
  /** What the graph must have been signed for, `release` if not said. */
  readonly purpose?: string | undefined
  /** Now, in UTC, like `new Date().toISOString()`: a graph that expires can't do without. */
  readonly now?: string | undefined
}

/** What graphs are signed for, unless something else is said. */
export const RELEASE = "release"

/**
 * Checks the seal of a graph, parsed from its JSON, before it is opened: the digest (SHA-256, FIPS 180-4) always; with a
 * public key also the signature (Ed25519, RFC 8032), what for and when it was signed, and whether it has expired.
 * Imports nothing but the canonical JSON that is digested.
 *
 *     await verify(graph, { subtle: crypto.subtle, key: "-----BEGIN PUBLIC KEY-----…", now: new Date().toISOString() })
 *
 * A digest alone shows damage; only a signature proves who wrote the graph.
 *
 * @throws VerifyError if there is no seal, or it doesn't hold; KeyError if `key` isn't such a key.
 */
export async function verify(graph: unknown, options: VerifyOptions): Promise<Verified> {
  const seal = sealOf(graph)
  const { digest, signature, key, purpose, at, expires } = seal
  if ((await digestOf(contentOf(graph), options.subtle)) !== digest)
    throw new VerifyError("This graph was changed after it was sealed: its content doesn't match its digest.")
  const said =
    signature === undefined ? {} : { key, purpose, at, ...(expires === undefined ? {} : { expires }) }
  if (options.key === undefined)
    return { digest, signed: signature !== undefined, authentic: false, ...(said as Partial<Verified>) }
  if (signature === undefined)
    throw new VerifyError("This graph isn't signed, so no key can prove who wrote it.")
  await checkSignature(seal, signature, options.key, options.subtle)
  checkTerms(seal, options)
  return { digest, signed: true, authentic: true, ...(said as Partial<Verified>) }
}

interface Seal {
  readonly digest: string
  readonly signature: string | undefined
  readonly key: string | undefined
  readonly purpose: string | undefined
  readonly at: string | undefined
  readonly expires: string | undefined
}

function sealOf(graph: unknown): Seal {
  const seal = ((graph as { seal?: unknown } | null)?.seal ?? {}) as Record<string, unknown>
  if (typeof seal.digest !== "string") throw new VerifyError("This graph has no seal: ship it with --sign.")
  for (const field of ["signature", "key", "purpose", "at", "expires"])
    if (seal[field] !== undefined && typeof seal[field] !== "string")
      throw new VerifyError(`The \`${field}\` in the seal of this graph isn't text.`)
  return seal as unknown as Seal
}

async function checkSignature(seal: Seal, signature: string, pem: string, subtle: Subtle): Promise<void> {
  const spki = keyBytes(pem, "PUBLIC KEY")
  let key: CryptoKeyLike
  try {
    key = await subtle.importKey("spki", spki, "Ed25519", false, ["verify"])
  } catch {
    throw new KeyError("This isn't a public Ed25519 key in PEM format.")
  }
  const id = await keyIdOf(spki, subtle)
  if (seal.key !== undefined && seal.key !== id)
    throw new VerifyError(
      `This graph wasn't signed with that key, which is ${id}, but with the key ${seal.key.slice(0, 40)}.`,
    )
  const bytes = /^ed25519:([\w+/]{86}==)$/.exec(signature)?.[1]
  if (bytes === undefined || !(await subtle.verify("Ed25519", key, base64(bytes), termsOf(seal))))
    throw new VerifyError("This graph wasn't signed with that key, or it was changed after it was signed.")
}

const TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?Z$/

/** What it was signed for, and whether now is a time for it. */
function checkTerms(
  { purpose, at = "", expires }: Seal,
  { purpose: wanted = RELEASE, now }: VerifyOptions,
): void {
  if (purpose !== wanted)
    throw new VerifyError(
      `This graph was signed as \`${purpose?.slice(0, 40)}\`, and is wanted as \`${wanted}\`.`,
    )
  if (!TIME.test(at) || (expires !== undefined && !TIME.test(expires)))
    throw new VerifyError("The seal of this graph doesn't say when it was signed or until when it holds.")
  if (now === undefined) {
    if (expires === undefined) return
    throw new VerifyError(
      "This graph is signed for a time only: whoever checks it has to say what time it is.",
    )
  }
  if (expires !== undefined && toSecond(expires) <= toSecond(now))
    throw new VerifyError(
      `The signature of this graph expired on ${expires.slice(0, 10)}: get a newer graph.`,
    )
}

const toSecond = (time: string) => time.slice(0, 19)

/** What is signed: the seal without its signature, as canonical JSON in UTF-8. The digest in it stands for the graph. */
export function termsOf(seal: object): Bytes {
  const { signature: _, ...terms } = seal as { readonly signature?: unknown }
  return new TextEncoder().encode(canonicalJson(terms)) as Bytes
}

/** What is digested: the graph without its seal, as canonical JSON in UTF-8. */
export function contentOf(graph: unknown): Bytes {
  const { seal: _, ...rest } = Object(graph) as Record<string, unknown>
  try {
    return new TextEncoder().encode(canonicalJson(rest)) as Bytes
  } catch {
    throw new VerifyError("This isn't a graph: it is nested too deep, or a number in it is too large.")
  }
}

export async function digestOf(content: Bytes, subtle: Subtle): Promise<string> {
  const bytes = new Uint8Array(await subtle.digest("SHA-256", content))
  return `sha256:${Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("")}`
}

/** How a key is named: the first 16 hexadecimal digits of the SHA-256 of its public part (SubjectPublicKeyInfo, DER). */
export async function keyIdOf(spki: Bytes, subtle: Subtle): Promise<string> {
  return (await digestOf(spki, subtle)).slice("sha256:".length, "sha256:".length + 16)
}

/** The bytes of a key as PEM (RFC 7468). @throws KeyError that calls what it is instead by its name */
export function keyBytes(pem: string, label: "PUBLIC KEY" | "PRIVATE KEY"): Bytes {
  const wanted = `${label === "PUBLIC KEY" ? "a public" : "a private"} Ed25519 key in PEM format`
  const found = /-----BEGIN ([A-Z0-9 ]{1,40})-----/.exec(pem)?.[1]
  if (found === "ENCRYPTED PRIVATE KEY")
    throw new KeyError(`This private key is encrypted with a passphrase. What is needed is ${wanted}.`)
  if (found !== undefined && found !== label)
    throw new KeyError(`This is \`${found}\`. What is needed is ${wanted}.`)
  try {
    const [, body = ""] = pem.split(/-----(?:BEGIN|END) [A-Z ]{1,40}-----/)
    return base64(body.replace(/\s/g, ""))
  } catch {
    throw new KeyError(`This isn't ${wanted}.`)
  }
}

function base64(text: string): Bytes {
  return Uint8Array.from(atob(text), (character) => character.charCodeAt(0))
}
