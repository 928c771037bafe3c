import { type Column, columnsOf, FIELDS, type Role } from "../../compiler/cases/table/columns.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { at } from "../../compiler/run/lookup.ts"

/** What the columns of a foreign table may stand for, as the headers that say so. */
export interface Choice {
  readonly header: string
  readonly label: string
  readonly group: string
  /** Of a reading with numbers. */
  readonly unit?: string
}

export interface TableColumn {
  readonly letter: string
  /** As written in the table. */
  readonly written: string
  /** The first few values in it. */
  readonly samples: readonly string[]
  /** What it was taken for; empty where it wasn't recognised. */
  readonly header: string
  readonly unit?: string
}

const SHOWN = 3

export function tableColumns(graph: Graph, rows: readonly (readonly string[])[]): TableColumn[] {
  const [written = [], ...cells] = rows
  return columnsOf(written, graph).map((column, i) => {
    const values = cells.map((row) => row[i]?.trim() ?? "").filter((value) => value !== "")
    const { role } = column
    return {
      letter: column.letter,
      written: column.header,
      samples: [...new Set(values)].slice(0, SHOWN),
      header: headerOf(column, graph),
      ...(role.is === "reading" && role.unit !== undefined ? { unit: role.unit } : {}),
    }
  })
}

/** The header by which a role is recognised again. */
function headerOf({ role }: Column, graph: Graph): string {
  switch (role.is) {
    case "reading":
      return at(graph.readings, role.reading).name
    case "look":
      return at(graph.tests, role.test).name
    case "left in":
      return `left in ${at(graph.tests, role.test).name}`
    case "minutes":
      return `minutes of ${at(graph.tests, role.test).name}`
    case "take out":
    case "put back":
    case "keep":
    case "replace":
      return `${role.is} ${role.part}`
    case "fix":
      return `fix ${role.fault}`
    case "nothing":
      return ""
    default:
      return role.is satisfies Role["is"]
  }
}

const fieldLabels: Readonly<Record<(typeof FIELDS)[number], string>> = {
  id: "Number of the job",
  date: "Date",
  complaint: "Complaint",
  fault: "What it turned out to be",
  second_fault: "And also",
  confirmed: "How that was confirmed",
  came_back: "Came back, yes or no",
}

/** Everything that a column can be read as, by the recogniser's own judgement of each header. */
export function choicesOf(graph: Graph): Choice[] {
  const swapped = new Set(
    graph.model.tests.flatMap(({ parts = [] }, test) =>
      at(graph.tests, test).kind === "swaps" ? parts : [],
    ),
  )
  const parts = graph.places.filter(({ kind }) => kind === "part")
  const all: Choice[] = [
    ...FIELDS.map((field) => ({ header: field, label: fieldLabels[field], group: "The job" })),
    ...graph.readings.map(({ name, question, unit }) => ({
      header: name,
      label: question,
      group: "Findings",
      ...(unit === undefined ? {} : { unit }),
    })),
    ...graph.tests.flatMap(({ name, instruction }) => [
      { header: name, label: `${instruction}: gone or stays`, group: "After a test" },
      { header: `left in ${name}`, label: `${instruction}: left in`, group: "After a test" },
      { header: `minutes of ${name}`, label: `${instruction}: minutes`, group: "Minutes" },
    ]),
    ...parts.map(({ name, label }) => ({
      header: `replace ${name}`,
      label: `New ${label}`,
      group: "Repairs",
    })),
    ...graph.faults.map(({ name, label }) => ({
      header: `fix ${name}`,
      label: `Fixed: ${label}`,
      group: "Repairs",
    })),
    ...graph.places.flatMap(({ name, label }, place) =>
      swapped.has(place)
        ? (["put back", "take out", "keep"] as const).map((verb) => ({
            header: `${verb} ${name}`,
            label: `${partWork[verb]} ${label}`,
            group: "The shop's parts",
          }))
        : [],
    ),
    { header: "look again", label: "Another look", group: "The job" },
    { header: "close", label: "Proof run", group: "The job" },
    { header: "hand over", label: "Handed over", group: "The job" },
  ]
  const roles = columnsOf(
    all.map(({ header }) => header),
    graph,
  )
  return all.filter((_, i) => at(roles, i).role.is !== "nothing")
}

const partWork = { "put back": "Old part back:", "take out": "Taken out:", keep: "Kept:" } as const
