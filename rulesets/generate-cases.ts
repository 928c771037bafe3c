/**
 * Writes the recorded cases of every ruleset, `FOLDER/FOLDER.cases.jsonl`: `npx tsx rulesets/generate-cases.ts [FOLDER…]`.
 * Lines whose id starts with `H-` were written by hand: they stay, above the drawn ones.
 */
import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { drawCases } from "./draw-cases.ts"
import { fileOf, readModel } from "./read-model.ts"

const here = import.meta.dirname

/** By folder: how many cases are drawn, and from which seed. */
export const drawn: Readonly<Record<string, { readonly count: number; readonly seed: number }>> = {
  "desktop-no-picture": { count: 150, seed: 7 },
  "desktop-hot-shutdown": { count: 60, seed: 11 },
  "laptop-no-charge": { count: 60, seed: 12 },
  "printer-faint-marked": { count: 60, seed: 13 },
  "link-down-slow": { count: 60, seed: 14 },
  "server-random-reboot": { count: 60, seed: 15 },
  "hire-bike-no-help": { count: 60, seed: 16 },
}

export const casesOf = (folder: string) => join(here, folder, `${folder}.cases.jsonl`)

export function handWritten(folder: string): string[] {
  return readFileSync(casesOf(folder), "utf8")
    .split("\n")
    .filter((line) => line.startsWith('{"id":"H-'))
}

/** The lines of the drawn cases, and how often the workshop strayed, by kind. */
export function draw(folder: string) {
  const recipe = drawn[folder]
  if (recipe === undefined) throw new Error(`No cases are drawn for \`${folder}\``)
  const { count, seed } = recipe
  const { cases, tally } = drawCases(readModel(fileOf(folder)), count, seed)
  return { lines: cases.map((each) => JSON.stringify(each)), tally }
}

function main(folders: readonly string[]): void {
  for (const folder of folders.length > 0 ? folders : Object.keys(drawn)) {
    const kept = handWritten(folder)
    const { lines, tally } = draw(folder)
    writeFileSync(casesOf(folder), `${[...kept, ...lines].join("\n")}\n`)
    const strayed = [...tally].map((each) => each.join(" ")).join(", ")
    console.error(`${folder}: ${kept.length} by hand, ${lines.length} drawn; strayed: ${strayed}`)
  }
}

if (process.argv[1]?.endsWith("generate-cases.ts")) main(process.argv.slice(2))
