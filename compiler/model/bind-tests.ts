import { insertAfter } from "../diagnostics/collector.ts"
import type { TestDecl } from "../syntax/syntax-tree.ts"
import { type Sketch, settle, sketch } from "./bind-conditions.ts"
import { minutes, money, percentage, times } from "./bind-quantities.ts"
import { needed } from "./bind-ruleset.ts"
import type { CutDomain } from "./cells.ts"
import { cycles, SHOWN, shown } from "./cycles.ts"
import { toNumber } from "./fraction.ts"
import type { Place, Ruleset, Test } from "./model.ts"
import { type NamedSetup, redone } from "./redone-setups.ts"
import type { PlaceDecl, Scope } from "./scope.ts"

const FORM = 'test NAME "instruction" reads READING'

/** A told question without `takes`: half a minute (semantics.md, "Cost and the best plan"). */
const ASKING_TAKES = 0.5

/** A test, once the places and the cells are known. */
export type TestDraft = (ruleset: Ruleset, places: readonly Place[], cuts: readonly CutDomain[]) => Test

export function bindTest(index: number, scope: Scope): TestDraft | undefined {
  const { report, names } = scope
  const decl = scope.tests[index]!
  const name = needed(decl, decl.name, "its name", FORM, report)
  const instruction = needed(decl, decl.instruction, "its instruction", FORM, report)
  const kind = kindOf(decl, scope)
  const work = bindWork(decl, scope)
  const takes = minutes(decl.takes, "takes", report) ?? 0
  const costs = money(decl.costs, "costs", report) ?? 0
  const risks = bindRisks(decl, scope)
  const after = names.findAll(decl.after, ["test"], "`after`").map((found) => found.index)
  const onlyIf: Sketch | undefined = decl.onlyIf && sketch(decl.onlyIf, scope)
  const tries = times(decl.tries, "tries", report) ?? 1
  if (name === undefined || instruction === undefined || kind === undefined) return undefined
  return (ruleset, places, cuts) => ({
    name: name.text,
    instruction: instruction.value,
    kind,
    reads: work.reads,
    ...(work.part === undefined ? {} : { part: work.part }),
    redoes: kind === "reads" ? [] : redone(places, work.redoes, work.part),
    minutes: takes,
    cost:
      (takes * ruleset.bench) / 60 +
      costs +
      risks.reduce((sum, { part, chance }) => sum + chance * places[part]!.price, 0),
    costs,
    risks,
    needs: decl.needs.map(({ value }) => value),
    cautions: decl.cautions.map(({ value }) => value),
    ...(decl.power === undefined ? {} : { power: decl.power.on ? ("on" as const) : ("off" as const) }),
    after,
    ...(onlyIf === undefined ? {} : { onlyIf: settle(onlyIf, cuts) }),
    tries,
    span: decl.span,
  })
}

/** Asking a told question, as the test that it is to the plan. */
export function bindAsking(index: number, scope: Scope): TestDraft | undefined {
  const decl = scope.readings[index]!
  const { name, question } = decl
  if (name === undefined || question === undefined) return undefined
  return (ruleset) => {
    const takes = decl.takes === undefined ? ASKING_TAKES : minutes(decl.takes, "takes", scope.report)!
    return {
      name: name.text,
      instruction: question.value,
      kind: "told",
      reads: [index],
      redoes: [],
      minutes: takes,
      cost: (takes * ruleset.bench) / 60,
      costs: 0,
      risks: [],
      needs: [],
      cautions: [],
      after: [],
      tries: 1,
      span: decl.span,
    }
  }
}

function kindOf(decl: TestDecl, { report }: Scope): "reads" | "swaps" | "redoes" | undefined {
  const [first] = decl.kinds
  if (first === undefined) {
    return needed(
      decl,
      undefined,
      "its `reads`, `swaps` or `redoes`",
      "reads READING`, `swaps PART` or `redoes SETUP",
      report,
    )
  }
  const kinds = new Set<string>()
  for (const word of decl.kinds) {
    // A swap may redo more than what comes with the work; nothing else goes together.
    const fits =
      kinds.size === 0 ||
      (word.text === "redoes" && kinds.has("swaps")) ||
      (word.text === "swaps" && kinds.has("redoes"))
    if (kinds.has(word.text) || !fits) {
      report.say(
        "doubled-clause",
        word.span,
        `A test does one thing: \`${word.text}\` does not go with \`${first.text}\`.`,
        {
          labels: [{ span: first.span, text: "already said here" }],
          help: kinds.has(word.text)
            ? `List all that it ${word.text} behind one \`${word.text}\`, with commas, or split the test in two.`
            : "Keep one of `reads`, `swaps` and `redoes` (`swaps` with `redoes` is fine), or split the test in two.",
        },
      )
    }
    kinds.add(word.text)
  }
  return kinds.has("swaps") ? "swaps" : kinds.has("reads") ? "reads" : "redoes"
}

function bindWork(
  decl: TestDecl,
  scope: Scope,
): { reads: number[]; part?: number | undefined; redoes: NamedSetup[] } {
  const { names, report } = scope
  const reads = names.findAll(decl.reads, ["reading"], "`reads`").map((found) => found.index)
  const part = decl.swaps && names.find(decl.swaps, ["part"], "`swaps`")?.index
  const cures = new Map(decl.redoes.map(({ setup, cures }) => [setup, percentage(cures, "redoes", report)]))
  const redoes = names
    .findAll(
      decl.redoes.map(({ setup }) => setup),
      ["setup"],
      "`redoes`",
    )
    .map(({ index, name }): NamedSetup => {
      const said = cures.get(name)
      return { setup: index, cures: said && toNumber(said) }
    })
  if (part !== undefined && decl.swaps !== undefined) warnOfNoSpare(decl.swaps, scope.places[part]!, scope)
  for (const word of decl.kinds) {
    const given =
      word.text === "reads"
        ? decl.reads.length > 0
        : word.text === "swaps"
          ? decl.swaps
          : decl.redoes.length > 0
    if (!given) report.giveUp()
  }
  return { reads, part, redoes }
}

function warnOfNoSpare(swaps: NonNullable<TestDecl["swaps"]>, place: PlaceDecl, { report }: Scope): void {
  if (place.kind !== "part" || place.spare !== undefined || !place.whole) return
  const behind = place.label?.span ?? place.name?.span
  report.say("not-spare", swaps.span, `\`${swaps.text}\` is swapped, but no known-good one is declared.`, {
    labels: [{ span: place.name?.span ?? place.keyword, text: "not `spare`" }],
    help: `Add \`spare\` to \`${swaps.text}\` if the shop has one to fit, or test it in another way.`,
    edits: behind === undefined ? [] : [insertAfter(behind, " spare", `Add \`spare\` to \`${swaps.text}\``)],
  })
}

function bindRisks(decl: TestDecl, { names, report }: Scope): { part: number; chance: number }[] {
  return decl.risks.flatMap((risk) => {
    const entry = names.find(risk.part, ["part"], "`risks`")
    const chance = percentage(risk.chance, "risks", report)
    return entry === undefined || chance === undefined
      ? []
      : [{ part: entry.index, chance: toNumber(chance) }]
  })
}

/** Tests that wait for each other, so that none of them can ever be done. */
export function reportAfterCycles(scope: Scope): void {
  const { report, tests, names } = scope
  const waits = tests.map((decl) =>
    decl.after.flatMap((name) => {
      const entry = names.peek(name.text)
      return entry?.kind === "test" ? [{ index: entry.index, name }] : []
    }),
  )
  for (const { nodes } of cycles(waits.map((list) => list.map(({ index }) => index)))) {
    const closing = waits[nodes.at(-1)!]!.find(({ index }) => index === nodes[0])!
    report.say(
      "cycle",
      closing.name.span,
      `\`after\` leads in a cycle: ${shown(nodes.map((node) => tests[node]?.name?.text ?? ""))}.`,
      {
        labels: nodes.slice(1, SHOWN).map((node) => ({ span: tests[node]!.name!.span, text: "on the way" })),
        help: "None of these tests could come first: remove one `after`.",
      },
    )
  }
}
