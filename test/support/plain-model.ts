/** Parts of a model as a test writes them down, with plain numbers for indexes. */
import type * as model from "../../compiler/model/model.ts"
import type { Plain } from "./plain.ts"

export type Cell = Plain<model.Cell>
export type CellSet = Plain<model.CellSet>
export type Condition = Plain<model.Condition>
export type Fault = Plain<model.Fault>
export type Gate = Plain<model.Gate>
export type Never = Plain<model.Never>
export type Place = Plain<model.Place>
export type Reading = Plain<model.Reading>
export type Rule = Plain<model.Rule>
export type Test = Plain<model.Test>
export type Work = Plain<model.Work>
