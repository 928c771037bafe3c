import { describe, expect, test } from "vitest"
import { examine } from "../../../compiler/cli/commands/doctor.ts"
import { type ThisMachine, thisMachine } from "../../../compiler/cli/io/this-machine.ts"
import { openFolder, said } from "../run.ts"

openFolder()

const healthy: ThisMachine = {
  node: "22.14.0",
  temporary: "/tmp",
  memory: 8 * 1024 ** 3,
  programVersion: () => "Program 3.11.2",
  canWrite: () => true,
  hasPart: () => true,
  hasDuckDb: async () => true,
  canSign: async () => true,
}

/** What is found on a machine that is healthy but for this. */
const found = async (ill: Partial<ThisMachine>) =>
  (await examine({ ...healthy, ...ill }))
    .filter(({ is }) => is !== "fine")
    .map(({ of, is }) => `${is}: ${of}`)

describe("ruleout doctor", () => {
  test("finds what is missing, and how much it matters", async () => {
    expect(await found({})).toEqual([])
    expect(await found({ node: "18.20.0" })).toEqual(["error: Node"])
    expect(await found({ node: "20.20.2" })).toEqual(["warning: Node"])
    expect(await found({ node: "24.1.0" })).toEqual([])
    expect(await found({ hasPart: (name) => name !== "bench.js" })).toEqual(["error: installation"])
    expect(await found({ canWrite: (folder) => folder !== "." })).toEqual(["warning: current folder"])
    expect(await found({ memory: 1024 ** 3 })).toEqual(["warning: memory"])
    expect(await found({ hasDuckDb: async () => false })).toEqual(["optional: DuckDB"])
    expect(await found({ programVersion: () => undefined })).toEqual([
      "optional: Python",
      "optional: Chromium",
    ])
    expect(await found({ programVersion: () => "Python 3.8.10" })).toEqual(["optional: Python"])
    expect(await found({ canSign: async () => false })).toEqual(["optional: signatures"])
  })

  test("says so of this machine, with what to do", async () => {
    const { exit, out, err } = await said(["doctor"])
    const major = Number(thisMachine.node.split(".")[0])
    expect({ exit, err }).toEqual({ exit: major < 22 ? 1 : 0, err: "" })
    expect(out).toContain(`Node: ${thisMachine.node}`)
    expect(out).toContain("fine      installation: complete\n")
    const { symptoms } = JSON.parse((await said(["doctor", "--json"])).out)
    expect(symptoms).toHaveLength(9)
    for (const { is, help } of symptoms) expect(help !== undefined).toBe(is !== "fine")
  })
})
