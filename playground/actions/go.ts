import type { Span } from "../../compiler/syntax/finding.ts"
import { activeFile, chosenNode, reveal, type Station, station, stations } from "../state.ts"

/** Goes to a station; the address keeps it, so that back, forward and a reload work as in any page. */
export function go(name: Station): void {
  if (station.value === name) return
  history.pushState(null, "", `#${name}`)
  station.value = name
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

export function followAddress(): void {
  const named = location.hash.slice(1)
  const found = stations.find((name) => name === named)
  if (found) station.value = found
}

export function listenToAddress(): void {
  addEventListener("popstate", followAddress)
  addEventListener("keydown", (event) => {
    if (!event.altKey || event.ctrlKey || event.metaKey) return
    const name = stations[Number(event.code.replace(/^Digit/, "")) - 1]
    if (!name) return
    event.preventDefault()
    go(name)
    document.getElementById("stage")?.focus()
  })
}
