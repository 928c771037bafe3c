import { batch } from "@preact/signals"
import type { Span } from "../../compiler/diagnostics/diagnostic.ts"
import { isSharedLink } from "../share/link.ts"
import { activeFile, chosenNode, helpAt, reveal, STATIONS, type Station, station } from "../state/state.ts"

const places: readonly Station[] = [...STATIONS, "help"]

/** Goes to a station; the address keeps it, so that back, forward and a reload work as in any page. */
export function go(name: Station): void {
  if (station.value === name) return
  history.pushState(null, "", `#${name}`)
  followAddress()
}

/** `at`: a page of the help and its section, as in `codes/idle-rule`. */
export function goToHelp(at: string): void {
  history.pushState(null, "", `#help/${at}`)
  followAddress()
}

/** Shows a stretch of source in the editor, wherever the user is now. */
export function goToSource(span: Span): void {
  activeFile.value = span.file
  reveal.value = { ...span }
  go("write")
}

export function goToNode(node: number): void {
  chosenNode.value = node
  go("graph")
}

interface Address {
  readonly name: Station
  /** Of the help. */
  readonly page: string
  readonly section: string
}

function readAddress(): Address | undefined {
  const [named, page = "", section = ""] = location.hash.slice(1).split("/")
  const name = places.find((each) => each === named)
  return name && { name, page, section }
}

/** Where the address leads once everything is there: a shared ruleset opens at the bench. */
export const stationAhead = (): Station =>
  isSharedLink(location.hash) ? "bench" : (readAddress()?.name ?? station.peek())

export function followAddress(): void {
  const address = readAddress()
  if (!address) return
  const { name, page, section } = address
  batch(() => {
    station.value = name
    if (name === "help") helpAt.value = { page, section }
  })
}

export function listenToAddress(): void {
  addEventListener("popstate", followAddress)
  addEventListener("keydown", (event) => {
    if (!event.altKey || event.ctrlKey || event.metaKey) return
    const name = places[Number(event.code.replace(/^Digit/, "")) - 1]
    if (!name) return
    event.preventDefault()
    go(name)
    document.getElementById("stage")?.focus()
  })
}
