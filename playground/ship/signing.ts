import { signal } from "@preact/signals"
import type { Graph } from "../../compiler/run/graph.ts"

/** A private key as its owner keeps it in a file. It is here as long as the page is open, and is stored nowhere. */
export interface Signing {
  readonly pem: string
  /** Its public key, for those who check. */
  readonly publicPem: string
  /** From this day on the graph isn't to be used any more, like 2027-01-31; empty for ever. */
  readonly expires: string
}

export const signing = signal<Signing | undefined>(undefined)

const sealing = () => import("../../compiler/ship/seal.ts")

/** @throws KeyError if it isn't a private Ed25519 key. */
export async function useKey(pem: string): Promise<void> {
  const { publicKeyOf } = await sealing()
  signing.value = { pem, publicPem: await publicKeyOf(pem, crypto.subtle), expires: "" }
}

/** A new private key as PEM, for a file of its owner's. */
export async function makeKey(): Promise<string> {
  const { pemOf } = await sealing()
  const pair = (await crypto.subtle.generateKey("Ed25519", true, ["sign", "verify"])) as CryptoKeyPair
  return pemOf("PRIVATE KEY", new Uint8Array(await crypto.subtle.exportKey("pkcs8", pair.privateKey)))
}

/** The graph with the signature of the key in use; as it is where there is none. */
export async function signed(graph: Graph): Promise<Graph> {
  if (!signing.value) return graph
  const { seal } = await sealing()
  const { pem, expires } = signing.value
  return seal(graph, {
    subtle: crypto.subtle,
    key: pem,
    at: new Date().toISOString(),
    ...(expires === "" ? {} : { expires: `${expires}T00:00:00Z` }),
  })
}
