import { effect, signal, untracked } from "@preact/signals"
import type { Comparison } from "../../compiler/cases/compare/compare.ts"
import { linesOf } from "../../compiler/cases/record/lines.ts"
import type { CaseDiagnostic } from "../../compiler/cases/record/read.ts"
import type { Report } from "../../compiler/cases/report/report.ts"
import type { Graph } from "../../compiler/run/index.ts"
import { rulesetName } from "../state/ruleset-name.ts"
import { projectsOpened } from "../state/state.ts"
import { type CaseFile, storeCaseFile, storedCaseFile, storedValue, storeValue } from "../state/store.ts"
import type { CaseRow } from "../workers/replay.worker.ts"
import type { TableRemark } from "../workers/table.worker.ts"

/** The recorded cases, one a line, and what replaying them on the graph at hand has shown. */
export interface CasesState {
  readonly name: string
  readonly text: string
  readonly cases: number
  /** What there is to say of the tables that they came from. */
  readonly tables: Tables
  readonly report?: Report
  readonly rows?: readonly CaseRow[]
  readonly diagnostics?: readonly CaseDiagnostic[]
  /** Against the graph that was shipped last. */
  readonly comparison?: Comparison
  /** The graph that the report is of: while the search goes on, one text has several. */
  readonly graph?: Graph
  readonly progress?: { readonly done: number; readonly of: number }
  readonly failed?: string
}

export interface Tables {
  /** By row and column. */
  readonly remarks: readonly TableRemark[]
  /** Rows that were left out, a table by the name of the file that each was in. */
  readonly rejected: readonly { readonly name: string; readonly text: string }[]
}

const noTables: Tables = { remarks: [], rejected: [] }
const none: CasesState = { name: "", text: "", cases: 0, tables: noTables }
export const casesState = signal<CasesState>(none)
export const chosenCase = signal<number | undefined>(undefined)

/** Whose the cases at hand are: each ruleset has a case file of its own. */
let owner = ""

export async function startCases(): Promise<void> {
  owner = rulesetName.peek()
  const own = await storedCaseFile(owner)
  // Older versions of this page kept one file of cases, those of the project that is kept too.
  const file = own ?? (await storedValue("cases"))
  if (typeof file?.text === "string" && (file.ruleset ?? owner) === owner) setText(file.name, file.text)
  let opened = projectsOpened.peek()
  effect(() => {
    const name = rulesetName.value
    if (projectsOpened.value === opened) return renamed(name)
    opened = projectsOpened.value
    untracked(() => void turnTo(name))
  })
}

/** The author gave the ruleset another name: its cases stay with it. */
function renamed(name: string): void {
  if (name !== "") owner = name
}

/** Puts the cases away that are of another ruleset, and brings those of this one. */
export async function turnTo(name: string): Promise<void> {
  if (name === owner) return
  const before = owner
  owner = name
  await putAway(before)
  const own = await storedCaseFile(name)
  // Meanwhile a file of cases may have been opened for it.
  if (owner === name && casesState.peek().cases === 0) storeCases(own?.name ?? "", own?.text ?? "")
}

async function putAway(ruleset: string): Promise<void> {
  const { name, text, cases } = casesState.peek()
  if (cases === 0) return
  setText("", "")
  await storeCaseFile(ruleset, { name, text, ruleset })
}

function setText(name: string, text: string, tables = noTables): void {
  chosenCase.value = undefined
  const cases = recordLines(text).length
  casesState.value = { name, text, cases, tables }
}

/** Puts these cases in place of those at hand. */
export function storeCases(name: string, text: string, tables?: Tables): void {
  setText(name, text, tables)
  const file: CaseFile = { name, text, ruleset: owner }
  void storeValue("cases", file)
  if (owner !== "") void storeCaseFile(owner, file)
}

/** Blank lines are no records. */
export function recordLines(text: string): string[] {
  return [...linesOf(text)].flatMap(({ line }) => (line.trim() === "" ? [] : [line]))
}

/** The case file of a ruleset: the one at hand, or as it is stored. */
export async function caseFileOf(ruleset: string): Promise<Pick<CaseFile, "name" | "text"> | undefined> {
  return ruleset === owner ? casesState.peek() : storedCaseFile(ruleset)
}

/** Puts cases into the case file of a ruleset, at hand or not. */
export async function putCases(ruleset: string, name: string, text: string): Promise<void> {
  if (ruleset === owner) storeCases(name, text)
  else await storeCaseFile(ruleset, { name, text, ruleset })
}
