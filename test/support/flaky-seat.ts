import type { Model } from "../../compiler/model/model.ts"
import { modelOf } from "./sketch.ts"

/** A seat that redoing does not always cure, and a complaint that is not always seen. */
export function flakySeat(): Model {
  return modelOf({
    comeback: 100,
    handover: 200,
    places: [{ name: "seat", kind: "setup", cures: 0.7 }],
    faults: [{ name: "loose", in: "seat", odds: 1, recurs: 0.6, fix: { minutes: 100 } }],
    tests: [{ name: "reseat", redoes: ["seat"], minutes: 5 }],
    proofs: [{ times: 2, minutes: 1 }],
  })
}
