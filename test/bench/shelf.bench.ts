import { fork } from "node:child_process"
import { once } from "node:events"
import { readdirSync } from "node:fs"
import { join } from "node:path"
import { option } from "./option.ts"
import type { Shelved } from "./shelf-worker.ts"

export const title = "Planning the shipped rulesets at the default effort (--ruleset=ticket-kiosk for one)"

const rulesets = join(import.meta.dirname, "../../rulesets")

export async function run(print: (line: string) => void): Promise<void> {
  const names = readdirSync(rulesets, { recursive: true, encoding: "utf8" }).flatMap(
    (path) => /^([^/]+)\/\1\.ruleout$/.exec(path)?.slice(1) ?? [],
  )
  for (const name of names.sort()) {
    if (option("ruleset") && name !== option("ruleset")) continue
    const child = fork(join(import.meta.dirname, "shelf-worker.ts"), [name], {
      execArgv: ["--import", "tsx"],
    })
    const [shelved] = (await once(child, "message")) as [Shelved]
    print(`${name}: ${describe(shelved)}`)
  }
}

function describe({ total, lower, unavoidable, early, seconds, peak }: Shelved): string {
  const part = (share: number) => `${(100 * share).toFixed(1)} %`
  const notKnowing = total > unavoidable ? part((total - lower) / (total - unavoidable)) : "all"
  return (
    `total ${total.toFixed(2)}, at least ${lower.toFixed(2)}, unavoidable ${unavoidable.toFixed(2)}; ` +
    `gap ${part(1 - lower / total)} of the total, ${notKnowing} of the price of not knowing; ` +
    `after 3 s ${part(early / total - 1)} dearer; ${seconds.toFixed(1)} s of processor, peak ${Math.round(peak)} MB`
  )
}
