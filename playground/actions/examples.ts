import titles from "virtual:example-titles"
import type { Project } from "../state/project.ts"
import { say } from "../state/state.ts"
import { loadCases } from "./open-cases.ts"
import { openInstead } from "./text.ts"

/** The rulesets that ship with the project, each with the files it uses and its recorded cases; fetched when asked for. */
const sources = import.meta.glob<string>("../../rulesets/*/**/*.ruleout", {
  query: "?raw",
  import: "default",
})
const drawings = import.meta.glob<string>("../../rulesets/*/images/*.svg", {
  query: "?raw",
  import: "default",
})
const cases = import.meta.glob<string>("../../rulesets/*/*.cases.jsonl", { query: "?raw", import: "default" })

export interface Example {
  /** Of its folder and its main file. */
  readonly name: string
  /** As the ruleset says. */
  readonly title: string
  readonly hasCases: boolean
}

const folder = (path: string) => path.split("/")[3]

export const examples: readonly Example[] = Object.entries(titles).map(([name, title]) => ({
  name,
  title,
  hasCases: Object.keys(cases).some((path) => folder(path) === name),
}))

async function fetchExample({ name }: Example): Promise<{ project: Project; cases: string | undefined }> {
  const prefix = `../../rulesets/${name}/`
  const own = Object.entries(sources).filter(([path]) => path.startsWith(prefix))
  const files = Object.fromEntries(
    await Promise.all(
      own.map(async ([path, fetchText]) => [path.slice(prefix.length), await fetchText()] as const),
    ),
  )
  const drawn = await Promise.all(
    Object.entries(drawings)
      .filter(([path]) => path.startsWith(prefix))
      .map(
        async ([path, fetchText]) =>
          [path.slice(prefix.length), new TextEncoder().encode(await fetchText())] as const,
      ),
  )
  const pictures = drawn.length === 0 ? {} : { pictures: Object.fromEntries(drawn) }
  const recorded = Object.entries(cases).find(([path]) => path.startsWith(prefix))
  return { project: { root: `${name}.ruleout`, files, ...pictures }, cases: await recorded?.[1]() }
}

/** Opens one of the shipped rulesets, with its cases. */
export async function openExample(example: Example): Promise<void> {
  try {
    const { project, cases } = await fetchExample(example)
    openInstead(project, `Opened the example “${example.title}”.`)
    if (cases !== undefined) await loadCases([{ name: `${example.name}.cases.jsonl`, text: cases }])
  } catch {
    say("Couldn't load the example. Check the connection and try again.", { bad: true })
  }
}
