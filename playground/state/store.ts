import { signal } from "@preact/signals"
import { type DBSchema, type IDBPDatabase, openDB } from "idb"
import type { KeptJob } from "../bench/kept-job.ts"
import type { Project } from "./project.ts"

/**
 * What is kept in this browser: the project as it is now, its versions, the jobs at the bench with the graphs they run
 * on, and the case file of each ruleset. Nothing of it leaves the machine. What the browser refuses to keep is held in
 * memory, so that all works as long as the page is open; `storage` says so.
 */
interface Kept extends DBSchema {
  /** One value under each of the keys in `Now`. */
  now: { key: string; value: unknown }
  versions: { key: number; value: Version }
  jobs: { key: string; value: KeptJob }
  /** Graphs as shipped, by the digest of their ruleset. */
  graphs: { key: string; value: string }
  /** By name of the ruleset. */
  caseFiles: { key: string; value: CaseFile }
  /** By name of the ruleset. */
  shelf: { key: string; value: OnShelf }
}
type Name = "now" | "versions" | "jobs" | "graphs" | "caseFiles" | "shelf"

export interface Now {
  readonly project: Project & { readonly rev?: number }
  readonly activeFile: string
  /** What can be undone in each file. */
  readonly undo: unknown
  /** The one job that older versions of this page kept. */
  readonly job: unknown
  /** The job that was looked at last. */
  readonly activeJob: string
  readonly cases: CaseFile
  /** The graph that was shipped last, to compare a replay with. */
  readonly shipped: unknown
  /** In one piece, as older versions of this page kept it. */
  readonly shelf: readonly Omit<OnShelf, "at">[]
  /** The language that somebody chose at the bench. */
  readonly language: string
}

/** A ruleset that was open in this browser; its graph is kept under the digest. */
export interface OnShelf {
  /** When it was planned last. */
  readonly at: number
  readonly name: string
  readonly title: string
  readonly version: string
  readonly source: string
  readonly project: Project
}

/** Recorded cases, one a line. `ruleset`: whose they are; files of older versions of this page don't say. */
export interface CaseFile {
  readonly name: string
  readonly text: string
  readonly ruleset?: string
}

export interface Version {
  readonly at: number
  readonly title: string
  readonly project: Project
  /** Given by hand: such a version is never dropped. */
  readonly named?: boolean
}

/** Whether the browser keeps what it is given, refuses, or has no room left. */
export const storage = signal<"kept" | "refused" | "full">("kept")

const VERSIONS_KEPT = 40
/** Milliseconds to wait for a tab with an older version of this page to let go. */
const PATIENCE = 3000

const memory: Readonly<Record<Name, Map<IDBValidKey, unknown>>> = {
  now: new Map(),
  versions: new Map(),
  jobs: new Map(),
  graphs: new Map(),
  caseFiles: new Map(),
  shelf: new Map(),
}

/** Opened once, with the first thing that is read or written. */
let opened: Promise<IDBPDatabase<Kept>> | undefined

function database(): Promise<IDBPDatabase<Kept>> {
  opened ??= open()
  return opened
}

/** Rejects where the browser refuses, in whatever way it does. */
async function open(): Promise<IDBPDatabase<Kept>> {
  return Promise.race([
    openDB<Kept>("ruleout", 3, {
      upgrade(db, from) {
        if (from < 1) {
          db.createObjectStore("now")
          db.createObjectStore("versions", { keyPath: "at" })
        }
        if (from < 2) for (const name of ["jobs", "graphs", "caseFiles"] as const) db.createObjectStore(name)
        if (from < 3) db.createObjectStore("shelf")
      },
      blocking: (_, __, event) => (event.target as IDBDatabase).close(),
    }),
    new Promise<never>((_, fail) => setTimeout(() => fail(new Error("no answer")), PATIENCE)),
  ])
}

function refused(error: unknown): void {
  storage.value = error instanceof DOMException && error.name === "QuotaExceededError" ? "full" : "refused"
}

async function put(name: Name, value: unknown, key: IDBValidKey): Promise<void> {
  try {
    const db = await database()
    if (name === "versions") await db.put(name, value as Version)
    else await db.put(name, value as never, key as string)
    memory[name].delete(key)
    if (storage.value === "full" && Object.values(memory).every(({ size }) => size === 0))
      storage.value = "kept"
  } catch (error) {
    memory[name].set(key, value)
    refused(error)
  }
}

async function get(name: Name, key: string): Promise<unknown> {
  if (memory[name].has(key)) return memory[name].get(key)
  try {
    return await (await database()).get(name, key as never)
  } catch (error) {
    refused(error)
    return undefined
  }
}

/** In the order of their keys. */
async function all(name: "versions" | "jobs" | "shelf"): Promise<[IDBValidKey, unknown][]> {
  const found = new Map<IDBValidKey, unknown>()
  try {
    const db = await database()
    const [keys, values] = await Promise.all([db.getAllKeys(name), db.getAll(name)])
    for (const [i, key] of keys.entries()) found.set(key, values[i])
  } catch (error) {
    refused(error)
  }
  for (const [key, value] of memory[name]) found.set(key, value)
  return [...found]
}

async function remove(name: Name, key: IDBValidKey): Promise<void> {
  memory[name].delete(key)
  await database().then(
    (db) => db.delete(name, key as never),
    () => {},
  )
}

/** Finds out at once whether anything is kept at all. */
export async function tryStorage(): Promise<void> {
  await database().catch(refused)
}

export function storeValue<K extends keyof Now>(key: K, value: Now[K]): Promise<void> {
  return put("now", value, key)
}

export async function storedValue<K extends keyof Now>(key: K): Promise<Now[K] | undefined> {
  return (await get("now", key)) as Now[K] | undefined
}

export function dropValue(key: keyof Now): Promise<void> {
  return remove("now", key)
}

/**
 * Keeps the project unless another tab has kept one since revision `seen`: that one is then given back beside, for it
 * would be gone. Either way this one is stored, with the revision that is returned.
 */
export async function storeProject(
  project: Project,
  seen: number,
): Promise<{ readonly rev: number; readonly other?: Project }> {
  const before = (await get("now", "project")) as Now["project"] | undefined
  const rev = Math.max(seen, before?.rev ?? 0) + 1
  await put("now", { ...project, rev }, "project")
  return before && (before.rev ?? 0) > seen ? { rev, other: before } : { rev }
}

/** Adds to the history and drops what is older than the last forty, but for those with a name. */
export async function addVersion(version: Version): Promise<void> {
  await put("versions", version, version.at)
  const list = (await versions()).filter(({ named }) => !named)
  for (const { at } of list.slice(VERSIONS_KEPT)) await remove("versions", at)
}

export function nameVersion(version: Version, title: string): Promise<void> {
  return put("versions", { ...version, title, named: title !== "" }, version.at)
}

/** Newest first. */
export async function versions(): Promise<Version[]> {
  const list = (await all("versions")).map(([, value]) => value as Version)
  return list.sort((a, b) => b.at - a.at)
}

export async function storedJobs(): Promise<KeptJob[]> {
  return (await all("jobs")).map(([, value]) => value as KeptJob)
}

/** False, and nothing is stored, where another tab has stored that revision of it, or a later one. */
export async function storeJob(job: KeptJob): Promise<boolean> {
  try {
    const tx = (await database()).transaction("jobs", "readwrite")
    const before = await tx.store.get(job.key)
    const isLast = !before || before.rev < job.rev
    if (isLast) await tx.store.put(job, job.key)
    await tx.done
    if (isLast) memory.jobs.delete(job.key)
    return isLast
  } catch (error) {
    memory.jobs.set(job.key, job)
    refused(error)
    return true
  }
}

export function dropJob(key: string): Promise<void> {
  return remove("jobs", key)
}

export function storeGraph(source: string, text: string): Promise<void> {
  return put("graphs", text, source)
}

export async function storedGraph(source: string): Promise<string | undefined> {
  return (await get("graphs", source)) as string | undefined
}

/** Beside its graph. */
const picturesKey = (source: string) => `${source} pictures`

export function storePictures(source: string, addresses: string): Promise<void> {
  return put("graphs", addresses, picturesKey(source))
}

export async function storedPictures(source: string): Promise<string | undefined> {
  return (await get("graphs", picturesKey(source))) as string | undefined
}

/** Drops the graphs that are of none of these rulesets. */
export async function dropGraphsWithout(sources: ReadonlySet<string>): Promise<void> {
  const wanted = new Set([...sources].flatMap((source) => [source, picturesKey(source)]))
  try {
    const db = await database()
    for (const key of await db.getAllKeys("graphs")) if (!wanted.has(key)) await db.delete("graphs", key)
  } catch (error) {
    refused(error)
  }
}

export function storeOnShelf(ruleset: OnShelf): Promise<void> {
  return put("shelf", ruleset, ruleset.name)
}

export function dropFromShelf(name: string): Promise<void> {
  return remove("shelf", name)
}

/** The last one that was planned first. */
export async function storedShelf(): Promise<OnShelf[]> {
  const list = (await all("shelf")).map(([, value]) => value as OnShelf)
  return list.sort((a, b) => b.at - a.at)
}

export function storeCaseFile(ruleset: string, file: CaseFile): Promise<void> {
  return put("caseFiles", file, ruleset)
}

export async function storedCaseFile(ruleset: string): Promise<CaseFile | undefined> {
  return (await get("caseFiles", ruleset)) as CaseFile | undefined
}
