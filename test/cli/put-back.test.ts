import { join } from "node:path"
import { expect, test } from "vitest"
import { openFolder, ruleout } from "./run.ts"

openFolder()

const flagship = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture.ruleout")

test("at the terminal, a processor swap that cures on the flagship is not believed until the old one is back", () => {
  const lines = ["find look_lights processor", "find try_processor gone", "stays", "quit"]
  const { out } = ruleout(["bench", flagship, "--effort", "300"], `${lines.join("\n")}\n`)
  const cured = out.slice(out.indexOf("> find try_processor gone"), out.indexOf("> stays"))
  expect(cured).toContain(
    "Gone for more than one possible reason: processor, processor in its socket, cooler mounting",
  )
  expect(cured).toContain("put back processor")
  expect(cured).not.toContain("Verdict")
  const back = out.slice(out.indexOf("> stays"))
  expect(back).toContain("Verdict: Replace: processor")
})
