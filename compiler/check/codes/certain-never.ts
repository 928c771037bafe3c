import { diagnostic } from "../../diagnostics/diagnostic.ts"
import type { CellIndex, ReadingIndex } from "../../run/indexes.ts"
import { at, last } from "../../run/lookup.ts"
import { backticked, capitalized, counted } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { conditionText } from "../condition-text.ts"
import type { Context } from "../context.ts"
import { type Findings, holds, readingsOf } from "../logic/formula.ts"
import { FindingSpace } from "../logic/space.ts"
import { partFalse, partTrue, smallestKnownConflict } from "../logic/witnesses.ts"

/** Cells of one reading (all of nothing where `reading` is -1) that the same `never`s forbid. */
interface Barred {
  readonly reading: ReadingIndex | -1
  readonly cells: readonly CellIndex[]
  readonly nevers: readonly number[]
}

export const certainNever: Check = {
  code: "certain-never",
  severity: "error",
  summary: "A `never` that forbids everything, or everything of one value of a reading.",
  explain: `A \`never\` is for findings that cannot occur _together_. If it forbids a value of a reading whatever else is found, then
that value cannot be read at all and doesn't belong in the reading's range or list. Usually a second condition is
missing. Several \`never\`s can do this together; then the message names the fewest that do.`,
  example: `never hum is no or rail below 1 V`,
  fixed: `never hum is yes and rail below 1 V`,
  *run(context) {
    const { model } = context
    for (const { reading, cells, nevers } of barred(context)) {
      const spans = nevers.map((n) => at(model.nevers, n).span)
      const span = last(spans)
      const subject =
        nevers.length === 1 ? "This `never`" : `${capitalized(counted(nevers.length, "`never`"))} together`
      const verb = nevers.length === 1 ? "forbids" : "forbid"
      const atom =
        reading === -1
          ? undefined
          : {
              kind: "in" as const,
              reading,
              cells: at(model.readings, reading).cells.map((_, c) => cells.includes(c)),
            }
      const what =
        atom === undefined
          ? "everything that could be found"
          : `${conditionText(model, atom)}, whatever else is found`
      yield diagnostic("error", "certain-never", span, `${subject} ${verb} ${what}.`, {
        labels: spans.slice(0, -1).map((span) => ({ span, text: "together with this" })),
        help:
          reading === -1
            ? "Name findings that cannot occur together. At least one combination must stay possible."
            : `Add what it cannot occur with, or remove the value from ${backticked(at(model.readings, reading).name)}.`,
      })
    }
  },
}

function barred(context: Context): Barred[] {
  const { model, space } = context
  const free = new FindingSpace(model, [])
  const parts = space.nevers.map((never) => partFalse(free, never))
  if (!context.possible) {
    const clash = smallestKnownConflict(free, parts, context.effort)
    return [{ reading: -1, cells: [], nevers: clash.elements }]
  }
  const found: Barred[] = []
  const readings = readingsOf(...space.nevers)
  const met = new Set<string>()
  const machines: Findings[] = []
  const note = (machine: Findings): void => {
    machines.push(machine)
    for (const [other, value] of machine.entries()) if (value >= 0) met.add(`${other} ${value}`)
  }
  for (const machine of context.proofs.hint<readonly Findings[]>("allowed") ?? []) {
    if (allowed(context, machine)) note(machine)
  }
  for (const reading of readings) {
    const { name, cells } = at(model.readings, reading)
    const groups = new Map<string, { cells: CellIndex[]; nevers: readonly number[] }>()
    for (const cell of cells.keys()) {
      if (met.has(`${reading} ${cell}`)) continue
      const linked = new Set(space.closure([reading]))
      const bearing = [...space.nevers.keys()].filter((n) =>
        readingsOf(at(space.nevers, n)).some((r) => linked.has(r)),
      )
      const clash = context.proofs.prove(`certain ${name} ${cell} ${context.keys.bound([reading])}`, () => {
        const atom = { kind: "in" as const, reading, cells: cells.map((_, c) => c === cell) }
        if (space.askActual([space.holdsActually(atom)], [reading]) === "yes") {
          note(space.machine([reading]))
          return undefined
        }
        const here = [partTrue(free, atom), ...bearing.map((n) => at(parts, n))]
        return smallestKnownConflict(free, here, context.effort)
          .elements.filter((i) => i > 0)
          .map((i) => i - 1)
      })
      if (clash === undefined) continue
      const nevers = clash.map((i) => at(bearing, i))
      const key = nevers.join(" ")
      const group = groups.get(key) ?? { cells: [], nevers }
      group.cells.push(cell)
      groups.set(key, group)
    }
    for (const group of groups.values()) found.push({ reading, ...group })
  }
  context.proofs.keep("allowed", machines)
  return found
}

/** Still a machine that no `never` forbids, complete as far as the `never`s link its readings. */
function allowed({ model, space }: Context, machine: Findings): boolean {
  return (
    machine.length === model.readings.length &&
    machine.every((cell, reading) => cell < at(model.readings, reading).cells.length) &&
    machine.every(
      (cell, reading) => cell < 0 || space.closure([reading]).every((other) => at(machine, other) >= 0),
    ) &&
    !space.nevers.some((never) => holds(never, machine))
  )
}
