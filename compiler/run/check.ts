import { checkNodes } from "./check-nodes.ts"
import { readingsOf } from "./condition.ts"
import { RunError } from "./error.ts"
import type { Graph } from "./graph.ts"
import type { PlaceIndex, ReadingIndex } from "./indexes.ts"
import {
  isAmount,
  isChance,
  isCount,
  isFlag,
  isIndexIn,
  isNumber,
  isText,
  LONGEST_TEXT,
  match,
  type Shape,
  ShapeError,
  type Unknown,
} from "./shape.ts"

const FORMAT = "ruleout-graph/2"
/** Conditions nested deeper than this are refused, so that none can exhaust the stack. */
const DEEPEST = 200
/** More faults are refused: two of them at once are a hypothesis each. */
const MOST_FAULTS = 2000
/** More tries of one look are refused. */
export const MOST_TRIES = 10_000
/** More combinations of cells in one test that rules and nevers may tell apart are refused. */
const MOST_COMBINATIONS = 100_000
/** How far the chances of a distribution may be from adding up to 1. */
const ROUNDING = 1e-6

/**
 * Checks that `graph` can be run, replayed and exported: format, lists, every index, every number, distributions,
 * limits; nodes without a cycle. Time and stack stay in proportion to the size of the document.
 *
 * @throws RunError naming the first place that is wrong.
 */
export function checkGraph(graph: Unknown): Graph {
  const { format } = Object(graph)
  if (format !== FORMAT) {
    const what = typeof format === "string" ? `\`${format.slice(0, 40)}\`` : "no format"
    throw new RunError(
      "graph",
      `This runner reads \`${FORMAT}\`, and the graph has ${what}: compile it again.`,
    )
  }
  try {
    match(graph, listsShape(), "graph")
    match(graph, indexesShape(graph), "graph")
    match(graph.model, modelShape(graph), "graph.model")
    checkLengths(graph)
    checkNames(graph)
    checkCombinations(graph)
    checkNodes(graph)
  } catch (error) {
    if (!(error instanceof ShapeError)) throw error
    throw new RunError("graph", `\`${error.path}\` is missing or wrong: compile the ruleset again.`, {
      cause: error,
    })
  }
  return graph
}

/** The document without what refers to its own lists. */
function listsShape(): Shape {
  const name = isText
  const list = [() => true] as const
  return {
    ruleset: { name, title: name, version: name, source: name, compiler: name },
    money: isText,
    bench: isAmount,
    waiting: isAmount,
    comeback: isAmount,
    handover: isAmount,
    trust: isChance,
    second: isChance,
    unlisted: isChance,
    complaint: { name, text: isText },
    places: [{ name, label: isText, kind: "part|setup", "price?": isAmount, "spare?": isFlag }],
    faults: (faults) => faults?.length <= MOST_FAULTS,
    readings: [
      {
        name,
        question: isText,
        told: isFlag,
        "unit?": isText,
        cells: [{ label: isLabel, "values?": [isText], "from?": isNumber, "to?": isNumber }],
      },
    ],
    tests: [
      {
        name,
        instruction: isText,
        kind: "reads|swaps|redoes|removes|told",
        minutes: isAmount,
        "waits?": isAmount,
        cost: isAmount,
        needs: [isText],
        cautions: [isText],
        "power?": "on|off",
      },
    ],
    rules: [{ "name?": isText, "because?": isText, line: isAmount }],
    proofs: list,
    nodes: list,
    proof: { exact: isFlag, lower: isAmount },
    expected: { total: isAmount },
    model: { tests: list, rules: list },
  }
}

/** A cell's label lists all its values, which may be many. */
const isLabel = (label: Unknown) => typeof label === "string" && label.length <= 100 * LONGEST_TEXT

function indexesShape(graph: Unknown): Shape {
  const place = isIndexIn(graph.places)
  const test = isIndexIn(graph.tests)
  return {
    second: (second) => second + graph.unlisted <= 1 + ROUNDING,
    places: [{ "of?": place, "behind?": [place] }],
    faults: [{ name: isText, label: isText, place, odds: isAmount, "remedy?": isText }],
    readings: [
      ({ cells, ...meter }) => cells.length > 0 && cells.every((each: Unknown) => isCell(meter, each)),
    ],
    tests: [{ "after?": [test], "afterAny?": [test] }],
    proofs: [
      {
        text: isText,
        times: isAmount,
        minutes: isAmount,
        "places?": [place],
        "expects?": ({ reading, cells }) => areCells(graph, reading, cells),
      },
    ],
    start: isIndexIn(graph.nodes),
  }
}

/** A choice's cell lists its values; a quantity's is a range on a meter that has steps. */
function isCell({ unit, from, to, by }: Unknown, cell: Unknown): boolean {
  if (by === undefined) return cell.values?.length >= 1
  return isText(unit) && isNumber(from) && isNumber(to) && isAmount(by) && by > 0 && cell.from <= cell.to
}

function areCells({ readings }: Unknown, reading: Unknown, cells: Unknown): boolean {
  return (
    isIndexIn(readings)(reading) && Array.isArray(cells) && cells.every(isIndexIn(readings[reading].cells))
  )
}

function modelShape(graph: Unknown): Shape {
  const place = isIndexIn(graph.places)
  const fault = isIndexIn(graph.faults)
  const isSpread = (chances: Unknown, reading: Unknown) =>
    isIndexIn(graph.readings)(reading) &&
    Array.isArray(chances) &&
    chances.every(isChance) &&
    chances.length === graph.readings[reading].cells.length &&
    Math.abs(chances.reduce((sum: number, chance: number) => sum + chance, 0) - 1) <= ROUNDING
  const spreads = (list: Unknown) => Array.isArray(list) && list.every(isSpread)
  const isRedone: Shape = (pair) => place(pair?.[0]) && isChance(pair[1])
  const condition = (value: Unknown) => isCondition(graph, value, 0)
  const isTries = (value: Unknown) => isCount(value, MOST_TRIES)
  const isTest = isIndexIn(graph.tests)
  const work: Shape = {
    ...{ minutes: isAmount, cost: isAmount, waits: isAmount, "test?": isTest },
    ...{ "after?": [isTest], "afterAny?": [isTest], "onlyIf?": condition },
  }
  const isWork = (value: Unknown) => value === null || work
  return {
    complaint: { minutes: isAmount, tries: isTries },
    base: spreads,
    healthy: spreads,
    trust: [isChance],
    recurs: [isChance],
    shows: [[(pair) => isSpread(pair?.[1], pair?.[0])]],
    eased: [[isRedone]],
    reach: [[isRedone]],
    replace: [isWork],
    fix: [isWork],
    tests: [
      {
        "reads?": [isIndexIn(graph.readings)],
        "parts?": [place],
        "redoes?": [isRedone],
        "tries?": isTries,
        "onlyIf?": condition,
      },
    ],
    rules: [{ when: condition, verb: "rule out|leaves only", of: [fault], chance: isChance }],
    nevers: [condition],
  }
}

function isCondition(graph: Unknown, value: Unknown, depth: number): boolean {
  if (!Array.isArray(value) || depth > DEEPEST) return false
  const [kind, ...items] = value
  if (kind === "in") return areCells(graph, items[0], items[1])
  const items1 = kind === "not" ? items.length === 1 : (kind === "and" || kind === "or") && items.length > 0
  return items1 && items.every((item) => isCondition(graph, item, depth + 1))
}

/** The lists of the model are as long as those that they speak of; each test has what its kind needs. */
function checkLengths({ model, places, faults, readings, tests, rules }: Unknown): void {
  const lengths = {
    ...{ base: readings, healthy: readings, trust: readings, recurs: faults, shows: faults, eased: faults },
    ...{ reach: places, replace: places, fix: faults, tests, rules },
  }
  for (const [key, list] of Object.entries<Unknown>(lengths))
    if (model[key].length !== list.length) throw new ShapeError(`graph.model.${key}`)
  places.forEach(({ kind }: Unknown, place: PlaceIndex) => {
    if (kind === "part" && !model.replace[place]) throw new ShapeError(`graph.model.replace[${place}]`)
  })
  model.tests.forEach(({ reads = [], parts = [], redoes = [] }: Unknown, t: number) => {
    const { kind } = tests[t]
    const isReading = kind === "reads" || kind === "told"
    const isWhole = isReading
      ? reads.length > 0 && new Set(reads).size === reads.length
      : reads.length === 0 && (kind === "redoes" ? redoes.length > 0 : parts.length > 0)
    const areParts = parts.every((part: PlaceIndex) => places[part].kind === "part")
    if (!isWhole || !areParts || (kind === "redoes" && parts.length > 0))
      throw new ShapeError(`graph.model.tests[${t}]`)
  })
}

/** An act goes by a name, which has to be one thing's alone. */
function checkNames(graph: Unknown): void {
  for (const key of ["places", "faults", "readings", "tests"]) {
    const names = new Set<string>()
    graph[key].forEach(({ name }: Unknown, i: number) => {
      if (names.has(name)) throw new ShapeError(`graph.${key}[${i}].name`)
      names.add(name)
    })
  }
}

function checkCombinations({ model, readings }: Unknown): void {
  const named = new Set<ReadingIndex>()
  for (const when of [...model.rules.map((rule: Unknown) => rule.when), ...model.nevers])
    readingsOf(when, named)
  model.tests.forEach(({ reads = [] }: Unknown, t: number) => {
    const all = reads.reduce(
      (so: number, r: ReadingIndex) => so * (named.has(r) ? readings[r].cells.length : 1),
      1,
    )
    if (all > MOST_COMBINATIONS) throw new ShapeError(`graph.model.tests[${t}].reads`)
  })
}
