import type { ActionStep, Suspect } from "../../../compiler/run/index.ts"
import { at } from "../../../compiler/run/lookup.ts"
import * as m from "../../../compiler/wording/compiled/bench.ts"
import { MachineStatus } from "../machine-status.tsx"
import type { OpenJob } from "../open-job.ts"
import { suspectsOf } from "../suspects.ts"
import { marksOf, placesOfStep } from "./marks.ts"
import { type BoardState, Place } from "./place.tsx"
import { SuspectLine } from "./suspect-line.tsx"

const MOST_PAIRS = 5

/**
 * The machine as its places, with all that was suspected in them. What is struck stays where it was, and what is fitted or
 * changed stands at its place, so that the board is read as the machine is.
 */
export function Board({ job, step }: { job: OpenJob; step: ActionStep | undefined }) {
  const session = job.session.value
  const { graph, words } = job
  const { all, left } = suspectsOf(session)
  const state: BoardState = {
    job,
    most: left[0]?.present ?? 1,
    suspects: byPlace(all),
    marks: marksOf(graph, session),
    here: placesOfStep(graph, step),
  }
  const unlisted = all.find(({ fault }) => fault === undefined)
  return (
    <section class="card board" aria-labelledby="board-title">
      <div class="board-head">
        <h2 id="board-title">{words.say(m.theMachine)}</h2>
        <p class="small quiet">
          {words.say(m.suspectsStruck, { struck: all.length - left.length, all: all.length })}
        </p>
      </div>
      <MachineStatus job={job} />
      {left.length === 0 && <p class="warned">{words.say(m.nothingFitsSentence)}</p>}
      <ul class="places">
        {graph.places.map(
          (place, i) => place.of === undefined && <Place key={place.name} place={i} board={state} />,
        )}
        {unlisted && (
          <li class="place nowhere">
            <ul class="suspect-list">
              <SuspectLine job={job} suspect={unlisted} most={state.most} />
            </ul>
          </li>
        )}
      </ul>
      <Pairs job={job} />
    </section>
  )
}

function byPlace(suspects: readonly Suspect[]): Map<number, Suspect[]> {
  const found = new Map<number, Suspect[]>()
  for (const suspect of suspects) {
    if (!suspect.info) continue
    const { place } = suspect.info
    found.set(place, [...(found.get(place) ?? []), suspect])
  }
  return found
}

/** Which two faults are likely to be there together. */
function Pairs({ job: { graph, session, words } }: { job: OpenJob }) {
  const pairs = session.value.pairs.filter(({ chance }) => chance >= 0.0005)
  if (pairs.length === 0) return null
  const both = pairs.reduce((sum, { chance }) => sum + chance, 0)
  return (
    <details class="pairs">
      <summary>{words.say(m.twoAtOnce, { chance: words.percent(both) })}</summary>
      <ul class="plain-list">
        {pairs.slice(0, MOST_PAIRS).map(({ faults, chance }) => (
          <li key={faults.join()}>
            <span class="number">{words.percent(chance)}</span>{" "}
            {words.listed(faults.map((fault) => at(graph.faults, fault).label))}
          </li>
        ))}
      </ul>
      {pairs.length > MOST_PAIRS && (
        <p class="small quiet">{words.say(m.andMore, { n: pairs.length - MOST_PAIRS })}</p>
      )}
    </details>
  )
}
