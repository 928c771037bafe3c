import type { Action } from "../plan/plan.ts"
import type { FaultIndex, PlaceIndex, Table, TestIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"

/** What a model and a graph list alike. */
interface Lists {
  readonly tests: Table<TestIndex, Named>
  readonly faults: Table<FaultIndex, Named>
  readonly places: Table<PlaceIndex, Named>
}

interface Named {
  readonly name: string
}

/** An action by the names of the ruleset: `meter_rail`, `put back panel`, `close`. */
export function actionName({ tests, faults, places }: Lists, action: Action): string {
  switch (action.do) {
    case "test":
      return at(tests, action.test).name
    case "fix":
      return `fix ${at(faults, action.fault).name}`
    case "takeOut":
      return `take out ${at(places, action.part).name}`
    case "putBack":
      return `put back ${at(places, action.part).name}`
    case "keep":
    case "replace":
      return `${action.do} ${at(places, action.part).name}`
    case "look":
      return "look again"
    case "close":
      return "close"
    case "handover":
      return "hand over"
  }
}
