import { isSharedLink } from "../share/link.ts"
import { asProject, fromFragment } from "../share/share.ts"
import type { Project } from "../state/project.ts"
import { project, say, station } from "../state/state.ts"
import { storage, storedValue, tryStorage } from "../state/store.ts"
import { startMark } from "./analysis-mark.ts"
import { startBench } from "./bench.ts"
import { startCases } from "./case-file.ts"
import { followAddress, listenToAddress } from "./navigate.ts"
import { startShelf } from "./shelf.ts"
import { hearOfOtherTexts, keepNow, keepOnLeaving, openInstead, readRevision, setProject } from "./text.ts"
import { startTheme } from "./theme.ts"
import { bringJournals } from "./undo-journal.ts"

/** Brings back what was kept, then what the address asks for. A page that is kept nothing of starts empty and says so. */
export async function start(): Promise<void> {
  startTheme()
  listenToAddress()
  keepOnLeaving()
  await tryStorage()
  await startMark()
  const before = await keptProject()
  const active = await storedValue("activeFile")
  bringJournals(await storedValue("undo"))
  if (before) setProject(before, typeof active === "string" ? active : before.root)
  else setProject(project.value)
  hearOfOtherTexts(keptProject)
  await startCases()
  await startShelf()
  await startBench()
  if (storage.value !== "kept") sayNotKept()
  await openShared()
  followAddress()
  // What was kept may take longer to bring back than the page to load.
  if (document.readyState === "complete") setTimeout(workOffline, 4000)
  else addEventListener("load", () => setTimeout(workOffline, 4000))
}

/** What this browser kept, with the revision that later ones are counted from. */
async function keptProject(): Promise<Project | undefined> {
  const kept = await storedValue("project")
  readRevision(kept?.rev ?? 0)
  return asProject(kept)
}

function sayNotKept(): void {
  say(
    "This browser keeps nothing of this page. All works until you close it: save what you need before that.",
    {
      bad: true,
    },
  )
}

/** Once everything needed now is here, the rest is fetched for the day without a network. */
function workOffline(): void {
  if (import.meta.env.PROD && "serviceWorker" in navigator)
    navigator.serviceWorker.register(new URL("./offline.js", document.baseURI)).catch(() => {})
}

async function openShared(): Promise<void> {
  if (!isSharedLink(location.hash)) return
  const shared = await fromFragment(location.hash.slice(1))
  const dropLink = () => history.replaceState(null, "", "#bench")
  if (!shared) {
    dropLink()
    say("The link is damaged. Ask for a new one.", { bad: true })
    return
  }
  // First, so that nothing is fetched for the editor meanwhile.
  station.value = "bench"
  const without = shared.lacksPictures ? " It came without its pictures: a link can't hold them." : ""
  openInstead(shared, `Opened the shared ruleset.${without}`)
  // Until the text is kept the link has it: a page loaded anew before that opens it again.
  await keepNow()
  if (storage.value === "kept") dropLink()
}
