import { signal } from "@preact/signals"
import { countOf } from "../../compiler/wording/figures.ts"
import { rulesetName } from "../state/ruleset-name.ts"
import { compiled, say } from "../state/state.ts"
import { CallWorker } from "../workers/rpc.ts"
import type { functions, Rows, TableRemark } from "../workers/table.worker.ts"
import TableWorker from "../workers/table.worker.ts?worker"
import type { Choice, TableColumn } from "../workers/table-columns.ts"
import { casesState, storeCases, type Tables, turnTo } from "./case-file.ts"
import type { OpenedFile } from "./files.ts"
import { replayAll } from "./replay.ts"

const ENDING = /\.[ct]sv$/i

/** Opens files of cases: lines of JSON, or tables, which become lines as soon as there is a graph to read them by. */
export async function loadCases(files: readonly OpenedFile[]): Promise<void> {
  const [first] = files
  if (!first) return
  await turnTo(rulesetName.peek())
  const texts: string[] = []
  const remarks: TableRemark[] = []
  const rejected: { name: string; text: string }[] = []
  for (const { name, text } of files) {
    if (!ENDING.test(name)) {
      texts.push(text.trimEnd())
      continue
    }
    const rows = await readTable(name, text)
    if (!rows) return
    texts.push(rows.text)
    remarks.push(...rows.remarks)
    if (rows.rejected !== "")
      rejected.push({ name: name.replace(ENDING, ".rejected.csv"), text: rows.rejected })
  }
  replace(first.name.replace(ENDING, ".cases.jsonl"), texts.join("\n"), { remarks, rejected })
  void replayAll()
}

/** One table after the other, apart from the replay, which may be stopped. */
const tableWorker = new CallWorker<typeof functions>(() => new TableWorker())

/** Undefined where it isn't read, which has been said, or where somebody turned back. */
async function readTable(name: string, table: string): Promise<Rows | undefined> {
  const graph = compiled.value?.text
  if (graph === undefined) {
    say("Fix the ruleset first: a table is read with the names of its graph.", { bad: true })
    return undefined
  }
  try {
    const seen = await tableWorker.call(({ columnsOf }) => columnsOf(graph, table))
    const headers = seen && (await headersOf(name, seen.columns, seen.choices))
    return headers && (await tableWorker.call(({ linesOf }) => linesOf(graph, table, headers)))
  } catch {
    say(`“${name}” couldn't be read as a table.`, { bad: true })
    return undefined
  }
}

/** A table with columns that weren't recognised, until somebody has said what they are. */
export interface ForeignTable {
  readonly name: string
  readonly columns: readonly TableColumn[]
  readonly choices: readonly Choice[]
  /** With a header for each column, empty for those that don't count; without, nothing is opened. */
  readonly answer: (headers: readonly string[] | undefined) => void
}
export const foreignTable = signal<ForeignTable | undefined>(undefined)

/** The table's own headers where they say it all, else what somebody says they are; undefined where nobody does. */
async function headersOf(
  name: string,
  columns: readonly TableColumn[],
  choices: readonly Choice[],
): Promise<readonly string[] | undefined> {
  const isKnown = ({ header, samples }: TableColumn) => header !== "" || samples.length === 0
  if (columns.every(isKnown)) return columns.map(({ written }) => written)
  const headers = await new Promise<readonly string[] | undefined>((answer) => {
    foreignTable.value = { name, columns, choices, answer }
  })
  foreignTable.value = undefined
  return headers
}

export function clearCases(): void {
  replace("", "")
}

/** Puts other cases in place of these, which may be the only record of jobs at the bench: there is a way back. */
function replace(name: string, text: string, tables?: Tables): void {
  const before = casesState.value
  storeCases(name, text, tables)
  if (before.cases === 0 || before.text === text) return
  say(`Closed ${before.name}: ${countOf(before.cases, "case")}.`, {
    action: { label: "Open them again", run: () => storeCases(before.name, before.text) },
  })
}
