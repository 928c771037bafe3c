import { expect, test } from "vitest"
import { indexGraph } from "../../../compiler/cases/replay/graph-index.ts"
import { coverage } from "../../../compiler/cases/scenarios/coverage.ts"
import { play } from "../../../compiler/cases/scenarios/play.ts"
import { compile, graphText } from "../../../compiler/compile.ts"
import { open } from "../../../compiler/run/index.ts"

/** From the semantics, worked by hand: reseat, 2; `stays` (1/2): replace the part, 105. */
const radio = `ruleset radio "Radio: mute" money EUR bench 60 per hour comeback costs 50 handover costs 1000
part board "board" price 100 spare fit takes 5 min
setup seat "board seating" of board
complaint mute "no sound"
fault board_dead "board failed" in board odds 1
  shows light is no 80%
fault seat_loose "board not home" in seat odds 1
reading light "Does its light burn?" yes or no
  normally is yes 95%
reading hum "How loud is its hum?" in dB from 0 to 90 by 0.1
  normally below 40 dB 90%
told dropped "Was it dropped?" yes or no
test look "Look at its light" reads light takes 60 min
test listen "Listen to it" reads hum takes 60 min
test reseat "Reseat the board" redoes seat takes 2 min
test try_board "Fit the known-good board" swaps board takes 10 min
rule lit: when light is yes rule out board_dead 50%
rule fell: when dropped is yes rule out board_dead 10%
`

function played(scenarios: string) {
  const { graph, diagnostics, ...compiled } = compile("radio.ruleout", () => `${radio}${scenarios}`)
  expect(diagnostics.filter(({ severity }) => severity === "error")).toEqual([])
  const all = compiled.scenarios.map((scenario) => play(open(graph), scenario))
  const text = `${radio}${scenarios}`
  const failures = all.flatMap((each) =>
    each.failures.map(({ span, message }) => `${text.slice(span.start, span.end)}: ${message}`),
  )
  const logs = all.map(({ log }) => log)
  return { failures, logs, graph: graph!, coverage: coverage(indexGraph(graph), logs) }
}

test("what is as expected says nothing, whatever was expected", () => {
  const { failures } = played(`
scenario "By the plan"
  expects next reseat
  expects board_dead at least 50%
  expects board_dead at most 50%
  does reseat stays
  expects seat_loose ruled out
  expects replace board
  replaces board gone
  expects close
  closes holds
scenario "With a spare first"
  cannot reseat
  does try_board gone
  puts back board stays
  expects board_dead at least 99.9%
  fixes seat_loose stays
  replaces board gone
  closes fails
  expects hand over
scenario "Another order"
  finds light is yes
  finds dropped is no
  does try_board gone
  keeps board
  looks again gone
  expects close
`)
  expect(failures).toEqual([])
})

test("each disappointment is said at its place, and what can't be done ends the scenario", () => {
  const { failures, logs } = played(`
scenario "Wrong in every way"
  expects next try_board
  expects close
  expects hand over
  expects fix seat_loose
  expects put back board
  expects seat_loose ruled out
  does reseat stays
  expects board_dead at most 20%
  expects seat_loose at least 1%
  expects look again
scenario "Impossible"
  keeps board
  expects close
  does reseat stays
  expects next reseat
`)
  expect(failures).toEqual([
    "try_board: Expected `try_board` next, but it is `reseat`.",
    "expects close: Expected the proof run next, but it is `reseat`.",
    "expects hand over: Expected to hand over next, but it is `reseat`.",
    "seat_loose: Expected to fix `seat_loose` next, but it is `reseat`.",
    "board: Expected to put back `board` next, but it is `reseat`.",
    "seat_loose ruled out: `seat_loose` isn't ruled out: it is present in 50 %.",
    "board_dead at most 20%: Expected `board_dead` to be active in at most 20 %, but it is in 100 %.",
    "seat_loose at least 1%: Expected `seat_loose` to be active in at least 1 %, but it is in 0 %.",
    "expects look again: Expected to look again next, but it is to replace `board`.",
    expect.stringMatching(/^board: /),
  ])
  expect(logs[1]).toEqual([])
})

test("coverage: rules whose condition was met, and branches that were taken in order", () => {
  const none = played('scenario "Nothing done" expects next reseat')
  expect(none.coverage.rules).toEqual([false, false])
  expect(none.coverage.branches.filter((is) => is)).toEqual([])

  const { graph, coverage: some } = played(`
scenario "One rule" finds dropped is yes expects board_dead at least 1%
scenario "The whole plan" does reseat stays replaces board gone closes holds expects board_dead at most 0%
`)
  expect(some.rules).toEqual([false, true])
  const edges = graph.nodes.flatMap((node) => ("edges" in node ? node.edges : []))
  const taken = some.branches.flatMap((is, i) => (is ? [edges[i]!.on] : []))
  expect(new Set(taken)).toEqual(new Set(["stays", "gone", "holds"]))
  expect(taken).toHaveLength(3)
})

test("scenarios below everything else leave the graph the same byte for byte", () => {
  const text = (source: string) => graphText(compile("radio.ruleout", () => source).graph!)
  const bare = text(radio)
  const scenario =
    '# What the shop counts on.\nscenario "By the plan"\n  finds hum is 47.3 dB\n  expects next reseat  # cheap\n'
  expect(text(`${radio}\n${scenario}`)).toBe(bare)
  expect(text(`${radio}${scenario}\n\n${scenario}`)).toBe(bare)
  expect(text(`${radio}\n# Another comment.\n`)).not.toBe(bare)
})
