import { type DBSchema, type IDBPDatabase, openDB } from "idb"
import type { Project } from "./project.ts"

/**
 * What is kept in this browser: the project as it is now, its last versions, the job at the bench, and the recorded
 * cases. Nothing of it leaves the machine.
 */
interface Kept extends DBSchema {
  /** One value under each of the keys in `Now`. */
  now: { key: string; value: unknown }
  versions: { key: number; value: Version }
}

export interface Now {
  readonly project: Project
  readonly activeFile: string
  /** The job at the bench as the runner records it, with the source digest of its graph. */
  readonly job: unknown
  readonly cases: unknown
  /** The graph that was shipped last, to compare a replay with. */
  readonly shipped: unknown
}

export interface Version {
  readonly at: number
  readonly title: string
  readonly project: Project
}

const versionsKept = 40

let opened: Promise<IDBPDatabase<Kept>> | undefined

function database(): Promise<IDBPDatabase<Kept>> {
  opened ??= openDB<Kept>("ruleout", 1, {
    upgrade(db) {
      db.createObjectStore("now")
      db.createObjectStore("versions", { keyPath: "at" })
    },
  })
  return opened
}

export async function storeValue<K extends keyof Now>(key: K, value: Now[K]): Promise<void> {
  await (await database()).put("now", value, key)
}

export async function storedValue<K extends keyof Now>(key: K): Promise<Now[K] | undefined> {
  return (await (await database()).get("now", key)) as Now[K] | undefined
}

/** Adds to the history and drops what is older than the last forty. */
export async function addVersion(version: Version): Promise<void> {
  const db = await database()
  await db.put("versions", version)
  const keys = await db.getAllKeys("versions")
  for (const key of keys.slice(0, Math.max(0, keys.length - versionsKept))) await db.delete("versions", key)
}

/** Newest first. */
export async function versions(): Promise<Version[]> {
  return (await (await database()).getAll("versions")).reverse()
}
