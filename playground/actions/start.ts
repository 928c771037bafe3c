import { asProject, fromFragment } from "../share.ts"
import { project, say, station } from "../state.ts"
import { storedValue } from "../store.ts"
import { startMark } from "./analysis-mark.ts"
import { startBench } from "./bench.ts"
import { startCases } from "./cases.ts"
import { followAddress, listenToAddress } from "./navigate.ts"
import { keepOnLeaving, openInstead, setProject } from "./text.ts"
import { startTheme } from "./theme.ts"

/** Brings back what was kept, then what the address asks for. A page without storage starts empty and says so. */
export async function start(): Promise<void> {
  startTheme()
  listenToAddress()
  keepOnLeaving()
  await startMark()
  try {
    const before = asProject(await storedValue("project"))
    const active = await storedValue("activeFile")
    if (before) setProject(before, typeof active === "string" ? active : before.root)
    else setProject(project.value)
    await startCases()
    await startBench()
  } catch {
    setProject(project.value)
    say("This browser can't store anything for this page. Save the files before you leave.", { bad: true })
  }
  await openShared()
  followAddress()
  // What was kept may take longer to bring back than the page to load.
  if (document.readyState === "complete") setTimeout(workOffline, 4000)
  else addEventListener("load", () => setTimeout(workOffline, 4000))
}

/** Once everything needed now is here, the rest is fetched for the day without a network. */
function workOffline(): void {
  if (import.meta.env.PROD && "serviceWorker" in navigator)
    navigator.serviceWorker.register(new URL("./offline.js", document.baseURI)).catch(() => {})
}

async function openShared(): Promise<void> {
  const fragment = location.hash.slice(1)
  if (!fragment.startsWith("r1.")) return
  const shared = await fromFragment(fragment)
  history.replaceState(null, "", "#bench")
  if (!shared) {
    say("The link is damaged. Ask for a new one.", { bad: true })
    return
  }
  openInstead(shared, "Opened the shared ruleset.")
  station.value = "bench"
}
