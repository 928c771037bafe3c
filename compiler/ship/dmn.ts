import type { Graph, GraphReading } from "../run/graph.ts"
import type { CellIndex, ReadingIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { cellsText } from "../wording/ranges.ts"
import { sentence } from "../wording/sentence.ts"
import { type DecisionRow, decisionRows } from "./decision-rows.ts"
import { diagram } from "./dmn-diagram.ts"
import { markup, oneLine } from "./escaping.ts"
import { feelName, feelNumber, feelText } from "./feel.ts"
import { quantityOf } from "./quantity.ts"

/** An input of the table: a reading that some rule uses. */
interface Input {
  readonly reading: GraphReading
  readonly index: ReadingIndex
  readonly name: string
}

/**
 * The rules as a decision model (OMG Decision Model and Notation 1.5): a table that collects what each rule rules out and
 * how far it is trusted, one row for each case of a condition; and from it the faults that are ruled out by rules trusted
 * to 100 %, those that other rules make less likely, and those that are left. What has not been found is null and rules
 * out nothing. The notation has no place for chances, actions and the plan.
 *
 * @throws ShipError if a condition has too many cases for a table.
 */
export function writeDmn(graph: Graph): string {
  const rows = decisionRows(graph)
  const { ruleset, complaint, readings } = graph
  const taken = new Set(["rules", "ruled_out", "doubted", "left", "faults"])
  const inputs = readings.flatMap((reading, index): Input[] =>
    rows.some(({ found }) => found.has(index))
      ? [{ reading, index, name: feelName(reading.name, taken) }]
      : [],
  )
  const about = `${sentence(ruleset.title)} Complaint: ${sentence(complaint.text)} Version ${ruleset.version}, ${ruleset.source}.`
  const space = `urn:ruleout:${encodeURIComponent(oneLine(ruleset.name))}:${encodeURIComponent(oneLine(ruleset.version))}`
  const everything = graph.faults.map(({ name }) => feelText(name)).join(", ")
  return `<?xml version="1.0" encoding="UTF-8"?>
<definitions xmlns="https://www.omg.org/spec/DMN/20230324/MODEL/" id="ruleset" name="${markup(ruleset.name)}" namespace="${markup(space)}" exporter="ruleout" exporterVersion="${markup(ruleset.compiler)}">
  <description>${markup(about)}</description>
${inputs.map(({ reading, index }) => type(reading, index)).join("")}  <itemDefinition id="t_faults" name="faults" isCollection="true">
    <typeRef>string</typeRef>
  </itemDefinition>
${inputs.map(inputData).join("")}  <decision id="rules" name="rules">
    <description>What each rule rules out, and how far it is trusted, in percent.</description>
    <variable id="v_rules" name="rules"/>
${inputs.map(({ index }) => needs(`r${index}`, "requiredInput", `i_r${index}`)).join("")}${table(graph, rows, inputs)}  </decision>
  <decision id="ruled_out" name="ruled_out">
    <variable id="v_ruled_out" name="ruled_out" typeRef="faults"/>
${needs("rules", "requiredDecision", "i_rules")}    <literalExpression id="e_ruled_out">
      <text>distinct values(flatten(rules[trust = 100].rules_out))</text>
    </literalExpression>
  </decision>
  <decision id="doubted" name="doubted">
    <description>Faults that rules trusted to less than 100 % speak against, and that aren't ruled out.</description>
    <variable id="v_doubted" name="doubted" typeRef="faults"/>
${needs("rules", "requiredDecision", "i_doubted_rules")}${needs("ruled_out", "requiredDecision", "i_doubted_out")}    <literalExpression id="e_doubted">
      <text>distinct values(flatten(rules[trust &lt; 100].rules_out))[list contains(ruled_out, item) = false]</text>
    </literalExpression>
  </decision>
  <decision id="left" name="left">
    <variable id="v_left" name="left" typeRef="faults"/>
${needs("ruled_out", "requiredDecision", "i_ruled_out")}    <literalExpression id="e_left">
      <text>[${markup(everything)}][list contains(ruled_out, item) = false]</text>
    </literalExpression>
  </decision>
${diagram(inputs.map(({ index }) => index))}</definitions>
`
}

function type(reading: GraphReading, index: number): string {
  return `  <itemDefinition id="t_r${index}" name="t_r${index}" label="${markup(reading.name)}">
    <typeRef>${reading.by === undefined ? "string" : "number"}</typeRef>
    <allowedValues>
      <text>${markup(allowed(reading))}</text>
    </allowedValues>
  </itemDefinition>
`
}

function allowed(reading: GraphReading): string {
  const quantity = quantityOf(reading)
  if (quantity !== undefined) return `[${feelNumber(quantity.from)}..${feelNumber(quantity.to)}]`
  return reading.cells.flatMap(({ values = [] }) => values.map(feelText)).join(", ")
}

function inputData({ reading, index, name }: Input): string {
  return `  <inputData id="r${index}" name="${name}">
    <description>${markup(heading(reading))}</description>
    <variable id="v_r${index}" name="${name}" typeRef="t_r${index}"/>
  </inputData>
`
}

function needs(element: string, kind: "requiredInput" | "requiredDecision", id: string): string {
  return `    <informationRequirement id="${id}">
      <${kind} href="#${element}"/>
    </informationRequirement>
`
}

function table(graph: Graph, rows: readonly DecisionRow[], inputs: readonly Input[]): string {
  const columns = inputs.map(
    ({ reading, index, name }) => `      <input id="c_r${index}" label="${markup(heading(reading))}">
        <inputExpression id="x_r${index}" typeRef="t_r${index}">
          <text>${name}</text>
        </inputExpression>
      </input>
`,
  )
  const lines = rows.map(({ found, out, trust, rule }, i) => {
    const { name, because, line } = rule === undefined ? {} : at(graph.rules, rule)
    const entries = inputs.map(({ reading, index }, c) => {
      const cells = found.get(index)
      const text = cells === undefined ? "-" : unaryTests(reading, cells)
      return `        <inputEntry id="u_${i}_${c}"><text>${markup(text)}</text></inputEntry>\n`
    })
    const names = `[${out.map((fault) => feelText(at(graph.faults, fault).name)).join(", ")}]`
    const words = [...found].map(([reading, cells]) => {
      const read = at(graph.readings, reading)
      return `${read.name} ${cellsText(read, cells)}`
    })
    const whose = rule === undefined ? "never" : [name, `line ${line}`].filter(Boolean).join(", ")
    const notes = [whose, words.join("; "), because ?? (rule === undefined ? "never found together" : "")]
    return `      <rule id="rule_${i}">
${entries.join("")}        <outputEntry id="o_${i}"><text>${markup(names)}</text></outputEntry>
        <outputEntry id="p_${i}"><text>${feelNumber(trust * 100)}</text></outputEntry>
${notes.map((note) => `        <annotationEntry><text>${markup(note)}</text></annotationEntry>\n`).join("")}      </rule>
`
  })
  return `    <decisionTable id="table" hitPolicy="COLLECT" preferredOrientation="Rule-as-Row" outputLabel="rules">
${columns.join("")}      <output id="out" name="rules_out" label="rules out" typeRef="faults"/>
      <output id="trust" name="trust" label="trust in percent" typeRef="number"/>
      <annotation name="rule"/>
      <annotation name="found"/>
      <annotation name="because"/>
${lines.join("")}    </decisionTable>
`
}

function heading({ question, unit }: GraphReading): string {
  return unit === undefined ? question : `${question} (${unit})`
}

/**
 * A number belongs to the grid value that it is nearest to, half up, as the runner rounds it: so limits stand half a step
 * outside of the first and the last grid value of neighbouring cells, the ends of the range aside.
 */
function unaryTests(reading: GraphReading, cells: readonly CellIndex[]): string {
  const quantity = quantityOf(reading)
  if (quantity === undefined)
    return cells.flatMap((cell) => at(reading.cells, cell).values?.map(feelText) ?? []).join(", ")
  const { from, to, by, cells: all } = quantity
  const runs: { first: CellIndex; last: CellIndex }[] = []
  for (const cell of cells.toSorted((a, b) => a - b)) {
    const run = runs.at(-1)
    if (run?.last === cell - 1) run.last = cell
    else runs.push({ first: cell, last: cell })
  }
  return runs
    .map(({ first, last }) => {
      const low = at(all, first).from
      const high = at(all, last).to
      const start = low <= from ? from : low - by / 2
      return high >= to
        ? `[${feelNumber(start)}..${feelNumber(to)}]`
        : `[${feelNumber(start)}..${feelNumber(high + by / 2)})`
    })
    .join(", ")
}
