/**
 * The one way by which a command writes a file. Nothing that exists is overwritten unasked, nothing that was read is
 * overwritten at all, and what is written is there whole or not at all.
 */
import {
  accessSync,
  constants,
  lstatSync,
  readFileSync,
  realpathSync,
  type Stats,
  statSync,
  writeFileSync,
} from "node:fs"
import { displayName, isCompressed, LARGEST_GRAPH, writeError } from "./files.ts"
import { claimOutput, isInput } from "./known-files.ts"
import { TemporaryFile } from "./temporary-file.ts"
import { UserError } from "./user-error.ts"

/** What a file holds, with the endings by which one is known. */
const kinds = {
  ruleset: { says: "a ruleset", ending: /\.ruleout$/i },
  cases: { says: "recorded cases", ending: /\.jsonl(\.gz)?$/i },
  table: { says: "a table", ending: /\.(csv|tsv|parquet)(\.gz)?$/i },
  graph: { says: "a graph", ending: /\.graph\.json$/i },
  key: { says: "a key", ending: /\.(key|pub|pem)$/i },
  export: { says: "an export", ending: /$^/ },
} as const

export type Kind = keyof typeof kinds

export interface OutputRules {
  readonly kind: Kind
  /** Another file of that name makes way. */
  readonly force?: boolean | undefined
  /** Whether what is there makes way without being forced. */
  readonly mayReplace?: (there: string) => boolean
  /** What the file is, where it isn't one that makes way; for the message. */
  readonly describe?: (there: string) => string
  /** What to do where something is there already. */
  readonly instead?: string
}

/** A file to be written. Made before the work, so that a name that can't be used is said before it. */
export class Output {
  readonly path: string
  readonly #rules: OutputRules

  /** @throws UserError where the file may not be written */
  constructor(path: string, rules: OutputRules) {
    this.path = path
    this.#rules = rules
    if (isCompressed(path))
      throw new UserError(
        `${displayName(path)}: nothing is written compressed.`,
        "Name a file without `.gz`.",
      )
    guarded(path, () => claimPath(path))
    this.check()
  }

  /** Whether it may be written, as things stand. @throws UserError where not */
  check(): Stats | undefined {
    return guarded(this.path, () => {
      const there = existing(this.path)
      if (there) refuseLoss(this.path, there, this.#rules)
      return there
    })
  }

  /** All or nothing. @throws UserError */
  write(content: string | Uint8Array): void {
    replace(this.path, this.check(), content)
  }

  /** The same for a text that comes in pieces. */
  begin(): StagedOutput {
    return begun(this.path, this.check())
  }
}

export interface StagedOutput {
  write(content: string | Uint8Array): void
  /** The file is there now. */
  commit(): void
  /** There is nothing of it. */
  discard(): void
}

/** To be called for every file that is written. @throws UserError where something else goes to the same file */
export function claimPath(path: string): void {
  if (!claimOutput(path))
    throw new UserError(`${displayName(path)} is named for two outputs.`, "Give each a file of its own.")
}

/** Changes a file that the command was asked to change in place. @throws UserError where it can't be written */
export function rewrite(path: string, text: string): void {
  const there = guarded(path, () => existing(path))
  replace(path, there, text)
}

function replace(path: string, there: Stats | undefined, content: string | Uint8Array): void {
  const pieces = begun(path, there)
  pieces.write(content)
  pieces.commit()
}

function begun(path: string, there: Stats | undefined): StagedOutput {
  // A device or a pipe can't be replaced.
  if (there && !there.isFile())
    return { write: (content) => writeTo(path, content), commit: () => {}, discard: () => {} }
  const temporary = guarded(path, () => new TemporaryFile(there ? realpathSync(path) : path, there))
  return {
    write: (content) => guarded(path, () => temporary.write(content), temporary),
    commit: () => guarded(path, () => temporary.commit(), temporary),
    discard: () => temporary.discard(),
  }
}

function writeTo(path: string, content: string | Uint8Array): void {
  guarded(path, () => writeFileSync(path, content, { flag: "a" }))
}

/** What is there, if it can be written. @throws UserError */
function existing(path: string): Stats | undefined {
  const there = statSync(path, { throwIfNoEntry: false })
  if (there === undefined) {
    if (lstatSync(path, { throwIfNoEntry: false }))
      throw new UserError(`${displayName(path)} is a symbolic link that leads nowhere.`, "Name another file.")
    return undefined
  }
  if (there.isDirectory()) throw new UserError(`${displayName(path)} is a folder.`, "Name a file to write.")
  accessSync(path, constants.W_OK)
  // Root may write anything, which is not what a file without write permission is there for.
  if (there.isFile() && (there.mode & 0o222) === 0)
    throw new UserError(
      `${displayName(path)} is write-protected.`,
      "Name another file, or allow writing to this one first.",
    )
  return there
}

function refuseLoss(path: string, there: Stats, rules: OutputRules): void {
  if (!there.isFile()) return
  const name = displayName(path)
  if (isInput(path))
    throw new UserError(
      `${name} is what this command reads: writing there would destroy it.`,
      "Name another file.",
    )
  const other = Object.entries(kinds).find(([kind, { ending }]) => kind !== rules.kind && ending.test(path))
  if (other && there.size > 0)
    throw new UserError(
      `${name} exists already, and by its name is ${other[1].says}: nothing else is written over it.`,
      "Name another file.",
    )
  if (rules.force || there.size === 0) return
  // What is larger is none of ours.
  const text = there.size > LARGEST_GRAPH ? "" : readFileSync(path, "utf8")
  if (rules.mayReplace?.(text)) return
  throw new UserError(
    `${name} exists already${rules.describe ? ` and is ${rules.describe(text)}` : ""}.`,
    rules.instead ?? "Name another file, or add --force to overwrite it.",
  )
}

/** Does it, and says in words what goes wrong; no temporary file is left then. */
function guarded<T>(path: string, work: () => T, temporary?: TemporaryFile): T {
  try {
    return work()
  } catch (error) {
    temporary?.discard()
    if (error instanceof UserError) throw error
    const { message, hint } = writeError(path, error)
    throw new UserError(
      message,
      temporary?.isNeeded ? `All of it is in ${displayName(temporary.path)}.` : hint,
    )
  }
}
