/** What changes between two rulesets, in words: as lines of text, or as Markdown for the page of a change. */
import type { Changed, Difference } from "../../graph/difference.ts"
import { markdownText } from "../../ship/escaping.ts"
import { fixedPercent, percent, rounded } from "../../wording/figures.ts"
import { figureNames } from "./plan-figures.ts"

/** A scenario of the new ruleset that comes out otherwise than it did. */
export interface ScenarioChange {
  readonly text: string
  readonly now: "as expected" | "not as expected"
  /** Undefined where the old ruleset has no scenario of this text. */
  readonly before: "as expected" | "not as expected" | undefined
}

export interface Section {
  readonly title: string
  readonly lines: readonly string[]
}

const names: Readonly<Record<string, string>> = { ...figureNames, total: `${figureNames.total} of a job` }

const SHARES = new Set(["comesBack", "handedOver"])

/** Partings beyond these are only counted. */
const MOST_PARTINGS = 10

export function sections(
  difference: Difference,
  scenarios: readonly ScenarioChange[],
  money: string,
): Section[] {
  const { figures, declared, chances, rules, partings, same } = difference
  const rest = partings.length - MOST_PARTINGS
  return [
    {
      title: "Figures",
      lines: figures
        .filter(({ name, old, fresh }) => isSeen(old, fresh, figureText(name, money)))
        .map((each) => changeText(each, names[each.name] ?? each.name, figureText(each.name, money))),
    },
    { title: "Declared", lines: declared.map(({ kind, name, change }) => `${kind} ${name}: ${change}`) },
    {
      title: "Rules",
      lines: rules
        ? [rules.old === rules.fresh ? "they say something else" : changeText(rules, "rules", String)]
        : [],
    },
    {
      title: "Chances at intake, by the odds",
      lines: chances
        .filter(({ old, fresh }) => isSeen(old, fresh, percent))
        .map((each) => changeText(each, each.name, percent)),
    },
    {
      title: `Plan: ${fixedPercent(same)} of jobs go the same way`,
      lines: [
        ...partings
          .slice(0, MOST_PARTINGS)
          .map(
            ({ after, old, fresh, share }) =>
              `${wayText(after)}: ${old} -> ${fresh} (${percent(share)} of jobs)`,
          ),
        ...(rest > 0 ? [`and ${rest} more`] : []),
      ],
    },
    {
      title: "Scenarios",
      lines: scenarios.map(({ text, now, before }) => `${text}: ${before ?? "not there"} -> ${now}`),
    },
  ].filter(({ lines }) => lines.length > 0)
}

function figureText(name: string, money: string): (value: number) => string {
  if (SHARES.has(name)) return (value) => fixedPercent(value, 2)
  return (value) =>
    name === "minutes" || name === "steps" ? rounded(value, 2) : `${rounded(value, 2)} ${money}`
}

/** What is another only beyond the decimals that are said isn't worth a line. */
function isSeen(old: number | undefined, fresh: number | undefined, say: (value: number) => string): boolean {
  return old === undefined || fresh === undefined || say(old) !== say(fresh)
}

function changeText({ old, fresh }: Changed, name: string, say: (value: number) => string): string {
  const said = (value: number | undefined) => (value === undefined ? "none" : say(value))
  return `${name}: ${said(old)} -> ${said(fresh)}`
}

export function wayText(after: readonly string[]): string {
  return after.length === 0 ? "at first" : `after ${after.join(", ")}`
}

const layouts = {
  text: { head: (title: string) => `${title}\n`, line: (text: string) => `  ${text}\n` },
  markdown: {
    head: (title: string) => `### ${title}\n\n`,
    line: (text: string) => `- ${markdownText(text.replaceAll(" -> ", " → "))}\n`,
  },
}

export function differenceText(
  difference: Difference,
  scenarios: readonly ScenarioChange[],
  money: string,
  layout: keyof typeof layouts,
): string {
  const { head, line } = layouts[layout]
  const all = sections(difference, scenarios, money)
  if (all.length === 0) return "Nothing changes.\n"
  return all.map(({ title, lines }) => head(title) + lines.map(line).join("")).join("\n")
}
