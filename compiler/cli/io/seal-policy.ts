/** Which graphs a command takes: none with a broken seal, and where it is asked for, none but a key's, for a purpose. */
import { statSync } from "node:fs"
import type { Command } from "commander"
import type { Graph } from "../../run/index.ts"
import { isOlder, KeyError, type Verified, VerifyError, verify } from "../../ship/index.ts"
import { displayName, LARGEST_SOURCE, readText } from "./files.ts"
import { err, hasColor, plain, style } from "./terminal.ts"
import { UserError } from "./user-error.ts"

export interface SealPolicy {
  /** The file of the public key that a graph must be signed with. */
  readonly key?: string | undefined
  readonly purpose?: string | undefined
  /** The oldest version of the ruleset that is taken. */
  readonly atLeast?: string | undefined
}

export function addSealFlags(command: Command): Command {
  return command
    .option("--key <file>", "take only a graph that is signed with this public key")
    .option("--purpose <word>", "with --key: what it must be signed for (default: release)")
    .option("--at-least <version>", "take no older version of the ruleset, like 1.4.0")
}

/** @throws UserError where the graph has a seal that doesn't hold, or isn't what is trusted */
export async function checkSeal(file: string, graph: Graph, policy: SealPolicy): Promise<void> {
  if (Object.hasOwn(graph, "seal") || policy.key !== undefined)
    try {
      await verified(graph, policy)
    } catch (error) {
      if (!(error instanceof VerifyError)) throw error
      throw new UserError(
        `${displayName(file)}: ${error.message}`,
        policy.key === undefined
          ? "Get it again from where it comes from; `ruleout verify` says more."
          : "Get a graph that is signed with that key.",
      )
    }
  checkVersion(file, graph, policy)
}

/** @throws VerifyError where the seal doesn't hold, UserError where the key can't be used */
export async function verified(graph: Graph, { key, purpose }: SealPolicy): Promise<Verified> {
  const pem = key === undefined ? undefined : readText(key, LARGEST_SOURCE)
  try {
    return await verify(graph, { subtle: crypto.subtle, key: pem, purpose, now: new Date().toISOString() })
  } catch (error) {
    if (!(error instanceof KeyError) || key === undefined) throw error
    throw new UserError(
      `${displayName(key)}: ${error.message}`,
      "To get the public key of a private one: openssl pkey -in shop.key -pubout -out shop.pub",
    )
  }
}

/** A graph that is old may be signed as well as a new one. @throws UserError */
export function checkVersion(file: string, graph: Graph, policy: SealPolicy): void {
  if (isTooOld(file, graph, policy))
    throw new UserError(
      `${displayName(file)} is version ${graph.ruleset.version}, older than ${policy.atLeast}.`,
      "Get the new graph.",
    )
}

/** @throws UserError where the versions can't be compared */
export function isTooOld(file: string, { ruleset }: Graph, { atLeast }: SealPolicy): boolean {
  if (atLeast === undefined) return false
  const older = isOlder(ruleset.version, atLeast)
  if (older === undefined)
    throw new UserError(
      `The version ${displayName(ruleset.version)} of ${displayName(file)} can't be compared with ${displayName(atLeast)}.`,
      "Versions are three numbers, like 1.4.0.",
    )
  return older
}

/** Whoever reads a private key can sign in its owner's name. */
export function warnOfReaders(key: string): void {
  const stat = statSync(key, { throwIfNoEntry: false })
  if (process.platform === "win32" || !stat?.isFile() || (stat.mode & 0o004) === 0) return
  const { warn } = style(hasColor(process.stderr))
  err(
    `${warn("Warning:")} everybody on this machine can read the private key ${plain(displayName(key))}: chmod 600 it.\n`,
  )
}
