import { join } from "node:path"
import { expect, test } from "vitest"
import { openFolder, ruleout } from "./run.ts"

openFolder()

const flagship = join(import.meta.dirname, "../../rulesets/desktop-no-picture/desktop-no-picture.ruleout")

test("at the terminal, a processor swap that cures on the flagship is not believed until the old one is back", () => {
  const lines = ["find look_lights processor", "find try_processor gone", "standing", "steps", "quit"]
  const { out } = ruleout(["bench", flagship, "--effort", "20"], `${lines.join("\n")}\n`)
  const cured = out.slice(out.indexOf("> find try_processor gone"))
  expect(cured).toContain("the shop's parts in the machine: processor")
  expect(cured).toContain("Before closing, each of the shop's parts must come out or be kept.")
  expect(cured).toContain("put back processor")
  expect(cured).toContain("keep processor")
  expect(cured).not.toContain("proof run")
})
