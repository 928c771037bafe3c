import PlugIcon from "lucide/dist/esm/icons/plug.mjs"
import WrenchIcon from "lucide/dist/esm/icons/wrench.mjs"
import type { Graph } from "../../../compiler/run/graph.ts"
import type { Suspect } from "../../../compiler/run/index.ts"
import { at, itemAt } from "../../../compiler/run/lookup.ts"
import * as m from "../../../compiler/wording/compiled/bench.ts"
import * as common from "../../../compiler/wording/compiled/common.ts"
import type { Words } from "../../../compiler/wording/words.ts"
import { Icon } from "../../ui/icon.tsx"
import type { OpenJob } from "../open-job.ts"
import type { Mark } from "./marks.ts"
import { SuspectLine } from "./suspect-line.tsx"

/** What all places of one board share. */
export interface BoardState {
  readonly job: OpenJob
  readonly most: number
  readonly suspects: ReadonlyMap<number, readonly Suspect[]>
  readonly marks: ReadonlyMap<number, readonly Mark[]>
  /** Where the step at hand works. */
  readonly here: ReadonlySet<number>
}

/** Lines that are struck are folded where there are more. */
const FEW_STRUCK = 3

/** A part with its setups, or a setup of the whole machine: what is suspected in it, and what was done to it. */
export function Place({ place, board }: { place: number; board: BoardState }) {
  const { job, suspects, here } = board
  const { graph, words } = job
  const { label, kind } = itemAt(graph.places, place)
  const own = suspects.get(place) ?? []
  const left = own.filter(({ present }) => present > 0)
  const setups = setupsOf(graph, place)
  const classes = [
    "place",
    kind,
    here.has(place) ? "here" : "",
    own.length > 0 && left.length === 0 && setups.length === 0 ? "cleared" : "",
  ]
  return (
    <li class={classes.filter((name) => name !== "").join(" ")}>
      <div class="place-head">
        <h3>{label}</h3>
        {here.has(place) && <span class="mark at">{words.say(m.markHere)}</span>}
        <Marks words={words} marks={board.marks.get(place) ?? []} />
      </div>
      <Suspects own={own} board={board} />
      {setups.length > 0 && (
        <ul class="place-setups">
          {setups.map((setup) => (
            <Place key={setup} place={setup} board={board} />
          ))}
        </ul>
      )}
      <Behind job={job} place={place} />
    </li>
  )
}

function Marks({ words, marks }: { words: Words; marks: readonly Mark[] }) {
  return (
    <>
      {marks.map(({ kind, text, step }) => (
        <span key={text[0]} class={`mark ${kind}`}>
          <Icon of={kind === "changed" ? WrenchIcon : PlugIcon} size={13} />
          {words.say(text)}
          {step !== undefined && <span class="quiet"> {words.say(common.atStep, { n: step })}</span>}
        </span>
      ))}
    </>
  )
}

function Suspects({ own, board }: { own: readonly Suspect[]; board: BoardState }) {
  if (own.length === 0) return null
  const { job, most } = board
  const line = (suspect: Suspect) => (
    <SuspectLine key={suspect.fault} job={job} suspect={suspect} most={most} />
  )
  const left = own.filter(({ present }) => present > 0)
  const struck = own.filter(({ present }) => !(present > 0))
  return (
    <>
      <ul class="suspect-list">
        {left.map(line)}
        {struck.length <= FEW_STRUCK && struck.map(line)}
      </ul>
      {struck.length > FEW_STRUCK && (
        <details class="struck">
          <summary>{job.words.say(m.struckCount, { n: struck.length })}</summary>
          <ul class="suspect-list">{struck.map(line)}</ul>
        </details>
      )}
    </>
  )
}

/** What has to be undone to reach it, apart from its own setups. */
function Behind({ job: { graph, words }, place }: { job: OpenJob; place: number }) {
  const { behind = [] } = itemAt(graph.places, place)
  if (behind.length === 0) return null
  const places = behind.map((each) => at(graph.places, each).label).join(", ")
  return <p class="small quiet behind">{words.say(m.behindPlaces, { places })}</p>
}

function setupsOf({ places }: Graph, part: number): number[] {
  return places.flatMap(({ of }, place) => (of === part ? [place] : []))
}
