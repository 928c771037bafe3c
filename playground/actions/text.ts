import { batch, effect } from "@preact/signals"
import type { Diagnostic } from "../../compiler/diagnostics/diagnostic.ts"
import { keepPictures } from "../bench/pictures.tsx"
import { isUnderWay } from "../state/plan-state.ts"
import { type Project, pathsOfPictures } from "../state/project.ts"
import {
  activeFile,
  compiled,
  deepDiagnostics,
  deepRound,
  isEmpty,
  isHeld,
  planState,
  project,
  projectsOpened,
  quickDiagnostics,
  savedAt,
  say,
  station,
  stopAsked,
  version,
} from "../state/state.ts"
import { addVersion, storeProject, storeValue } from "../state/store.ts"
import { hearTabs, tellTabs } from "../state/tabs.ts"
import type { functions, LanguageUpdate } from "../workers/language.worker.ts"
import LanguageWorker from "../workers/language.worker.ts?worker"
import type { PlanUpdate } from "../workers/plan-messages.ts"
import { PlanRunner } from "../workers/plan-runner.ts"
import { forward, LateWorker } from "../workers/rpc.ts"
import { saveTo } from "./files.ts"
import { type Shift, shifted, shiftOf } from "./text-shift.ts"
import { journals } from "./undo-journal.ts"

/** Every change of the text goes through here: to the language service, to the analysis and the plan, and to the store. */

/** After the last keystroke: before the analysis starts, before the text is kept, before it becomes a version. */
const wait = { analysis: 250, keep: 400, version: 60_000 }

const languageWorker = new LateWorker(() => new LanguageWorker(), ["set", "change"])
// Elsewhere it comes after the first plan, which on a slow line is waited for.
effect(() => {
  if (station.value === "write" && !isEmpty.value) languageWorker.start()
})

export const language = forward<typeof functions>(languageWorker, (told) => {
  const { version: of, diagnostics } = told as LanguageUpdate
  if (of !== version.value) return
  batch(() => {
    quickDiagnostics.value = diagnostics
    deepDiagnostics.value = beyondQuick(deepDiagnostics.value)
  })
  if (diagnostics.some((found) => found.severity === "error")) {
    batch(() => {
      planState.value = { kind: "blocked" }
      deepDiagnostics.value = []
    })
  } else planSoon()
})

const runner = new PlanRunner((told: PlanUpdate) => {
  if (told.kind === "compiled") {
    keepPictures(told.compiled.pictures)
    compiled.value = told.compiled
    languageWorker.start()
  } else if (told.version !== version.value) return
  else if (told.kind === "diagnostics")
    batch(() => {
      deepDiagnostics.value = beyondQuick(told.diagnostics)
      deepRound.value += 1
    })
  else
    batch(() => {
      planState.value = told.state
      if (!isUnderWay(told.state)) languageWorker.start()
      if (told.state.kind === "large") compiled.value = undefined
    })
})

/** The analysis says again what reading the text has said already. */
function beyondQuick(all: readonly Diagnostic[]): readonly Diagnostic[] {
  const key = ({ code, span, message }: Diagnostic) => `${code} ${span.file} ${span.start} ${message}`
  const said = new Set(quickDiagnostics.value.map(key))
  return all.filter((found) => !said.has(key(found)))
}

/** The version that was planned last, or is being planned. */
let planned = -1
/** Until the text has rested long enough to be planned. */
let planTimer: number | undefined
/** And to be stored. */
let keepTimer: number | undefined
/** When a version was last put into the history. */
let lastVersionAt = 0

function planSoon(): void {
  clearTimeout(planTimer)
  if (isHeld.value) planState.value = { kind: "held" }
  else if (planned !== version.value) planTimer = window.setTimeout(planNow, wait.analysis)
}

/** The search ends at its next step, and the best plan so far is written. */
export function stopPlanning(): void {
  stopAsked.value = true
  runner.stop()
}

/** Checks and plans the text as it is now. */
export function planNow(): void {
  stopAsked.value = false
  isHeld.value = false
  planned = version.value
  planState.value = { kind: "checking" }
  runner.run({ version: version.value, project: project.value })
}

/** The analysis under way is of an older text. */
function stale(): void {
  clearTimeout(planTimer)
  runner.cancel()
}

/** `shift`: what changed, where the caller knows; else it is found by comparing the texts. */
export function changeFile(file: string, text: string, shift?: Shift): void {
  if (project.value.files[file] === text) return
  const change = shift ?? shiftOf(file, project.value.files[file] ?? "", text)
  batch(() => {
    version.value += 1
    project.value = { ...project.value, files: { ...project.value.files, [file]: text } }
    deepDiagnostics.value = shifted(deepDiagnostics.value, change)
  })
  stale()
  void language.change(file, text, version.value)
  keepSoon()
}

/** Puts another project in place of this one; the old one stays in the history. */
export function openProject(next: Project, active = next.root): void {
  void keepVersion("before opening another")
  isHeld.value = false
  setProject(next, active)
  saveTo()
  keepSoon()
}

/** The same with a word about it, and the way back where there was something to lose. */
export function openInstead(next: Project, said: string): void {
  const before = project.value
  openProject(next)
  const own = Object.values(before.files).some((text) => text.trim() !== "")
  say(said, own ? { action: { label: "Back to mine", run: () => openProject(before) } } : {})
}

export function setProject(next: Project, active = next.root): void {
  batch(() => {
    version.value += 1
    projectsOpened.value += 1
    project.value = next
    activeFile.value = next.files[active] === undefined ? next.root : active
    deepDiagnostics.value = []
    compiled.value = undefined
  })
  stale()
  void language.set(next.files, next.root, version.value, pathsOfPictures(next))
  // Nobody is in the middle of a word here, as one is who types.
  if (isHeld.value) planState.value = { kind: "held" }
  else if (!isEmpty.value) planNow()
}

export function addFile(path: string, text = ""): void {
  setFiles({ ...project.value.files, [path]: text }, path)
}

export function removeFile(path: string): void {
  const { [path]: gone, ...files } = project.value.files
  if (gone === undefined || path === project.value.root) return
  setFiles(files, project.value.root)
  say(`Removed ${path}.`, { action: { label: "Restore it", run: () => addFile(path, gone) } })
}

/** The pictures of the ruleset from now on. */
export function setPictures(pictures: NonNullable<Project["pictures"]>): void {
  setContent({ ...project.value, pictures }, activeFile.value)
}

function setFiles(files: Readonly<Record<string, string>>, active: string): void {
  setContent({ ...project.value, files }, active)
}

function setContent(next: Project, active: string): void {
  batch(() => {
    version.value += 1
    project.value = next
    activeFile.value = active
  })
  stale()
  void language.set(next.files, next.root, version.value, pathsOfPictures(next))
  keepSoon()
}

function keepSoon(): void {
  clearTimeout(keepTimer)
  keepTimer = window.setTimeout(keepNow, wait.keep)
}

/** Where storage refuses, the page says so and goes on in memory. */
export async function keepNow(): Promise<void> {
  clearTimeout(keepTimer)
  keepTimer = undefined
  const { rev, other } = await storeProject(project.value, seen)
  seen = rev
  isTold = false
  if (other) await addVersion({ at: Date.now(), title: "from another tab", project: other })
  tellTabs({ of: "project", rev })
  await storeValue("activeFile", activeFile.value)
  await storeValue("undo", journals())
  // Said last: who sees it may leave, and the history is drawn anew by it.
  if (Date.now() - lastVersionAt > wait.version) await keepVersion("")
  savedAt.value = new Date()
}

/** The revision of the kept project that this tab last read or wrote. */
let seen = 0
/** Whether it was told of a later one. */
let isTold = false

export function readRevision(rev: number): void {
  seen = rev
}

/** Says once that another tab writes too; both texts stay, in the history at least. */
export function hearOfOtherTexts(read: () => Promise<Project | undefined>): void {
  hearTabs((told) => {
    if (told.of !== "project" || told.rev <= seen || isTold) return
    isTold = true
    const show = async () => {
      const other = await read()
      if (!other) return
      void keepVersion("before the text of another tab")
      setProject(other)
    }
    say(
      "The text was changed in another tab. Nothing is lost: what both tabs write stays in Ship, Earlier versions.",
      {
        action: { label: "Show the other text", run: show },
      },
    )
  })
}

/** The text as it is now goes into the history. */
export async function keepVersion(title: string): Promise<void> {
  const now = project.value
  if (Object.values(now.files).every((text) => text.trim() === "")) return
  lastVersionAt = Date.now()
  await addVersion({ at: lastVersionAt, title, project: now })
}

/** A page that goes away keeps what is still waiting. */
export function keepOnLeaving(): void {
  addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden" && keepTimer !== undefined) void keepNow()
  })
  addEventListener("pagehide", () => {
    if (keepTimer !== undefined) void keepNow()
  })
}
