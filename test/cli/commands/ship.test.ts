import { generateKeyPairSync } from "node:crypto"
import { existsSync } from "node:fs"
import { beforeAll, describe, expect, test } from "vitest"
import { openFolder, ruleout, said } from "../run.ts"

const { at, read, put } = openFolder()

/** Planned once, and with little effort: what is written of a plan is the same however good it is. */
beforeAll(async () => {
  await said(["compile", "kiosk.ruleout", "--effort", "20", "-o", "kiosk.json"])
}, 60_000)

describe("ruleout ship", () => {
  test.each([
    ["graph", ["kiosk_dark.graph.json"], '{\n"bench": 48'],
    ["module", ["kiosk_dark.mjs", "kiosk_dark.d.mts"], "// Ticket kiosk"],
    ["python", ["kiosk_dark.py"], "# Written by Ruleout.\n#\n# Ticket kiosk"],
    ["page", ["kiosk_dark.html"], "<!doctype html>"],
    ["markdown", ["kiosk_dark.md"], "# Ticket kiosk: powered, screen dark"],
    ["svg", ["kiosk_dark.svg"], "<svg "],
    ["dot", ["kiosk_dark.dot"], "digraph ruleout {"],
    ["mermaid", ["kiosk_dark.mmd"], "flowchart TD"],
    ["dmn", ["kiosk_dark.dmn"], "<?xml "],
    ["jsonschema", ["kiosk_dark.schema.json"], "{\n"],
  ])("--to %s writes %j, the same from its own graph", async (target, files, begins) => {
    const { exit, out, err } = await said(["ship", "kiosk.json", "--to", target])
    expect({ exit, err }).toEqual({ exit: 0, err: "" })
    expect(read(files[0]!).startsWith(begins)).toBe(true)
    for (const file of files) expect(out).toContain(`Written to ${file}`)
    await said(["ship", "kiosk.json", "--out", "first.graph.json", "--force"])
    const again = await said(["ship", "first.graph.json", "--to", target, "--out", "-"])
    expect(again).toEqual({ exit: 0, err: "", out: read(files[0]!) })
    expect((await said(["ship", "--help"])).out).toContain(`\n  ${target} `)
  })

  test("never overwrites unasked, and all or nothing", async () => {
    put("mine.mjs", "mine")
    put("half.d.mts", "mine")
    for (const name of ["mine.mjs", "half.mjs"]) {
      const { exit, err } = await said(["ship", "kiosk.json", "--to", "module", "--out", name])
      expect(exit).toBe(2)
      expect(err).toMatch(/exists already and is different\.\n {2}help: .*--force/)
    }
    expect(read("mine.mjs")).toBe("mine")
    expect(existsSync(at("half.mjs"))).toBe(false)
    expect((await said(["ship", "kiosk.json", "--to", "module", "--out", "mine.mjs", "--force"])).exit).toBe(
      0,
    )
    // What would be the same is no harm.
    expect((await said(["ship", "kiosk.json", "--to", "module", "--out", "mine.mjs"])).exit).toBe(0)
  })

  test("reads a ruleset or a graph from standard input", () => {
    const graph = ruleout(["ship", "-", "--out", "-"], read("seat.ruleout"))
    expect(graph.exit).toBe(0)
    const fromGraph = ruleout(["ship", "-", "--to", "dot", "--out", "-"], graph.out)
    expect(fromGraph.out).toMatch(/^digraph/)
    expect(fromGraph.out).toBe(ruleout(["ship", "-", "--to", "dot", "--out", "-"], read("seat.ruleout")).out)
  })

  test.each([
    [["ship", "kiosk.json", "--to", "paper"], 2, "Allowed choices are graph, module, python, page"],
    [
      ["ship", "kiosk.json", "--to", "dot", "--sign"],
      2,
      "Seal the graph itself: --to graph, module, python or page.",
    ],
    [
      ["ship", "kiosk.json", "--to", "dmn", "--least", "1%"],
      2,
      "--least is for dot, mermaid, svg and markdown",
    ],
    [["ship", "kiosk.json", "--key", "missing.key"], 2, "There is no file `missing.key`."],
    [["ship", "kiosk.json", "--key", "kiosk.ruleout"], 2, "This isn't a private Ed25519 key in PEM format."],
    [["ship", "nameless.json", "--to", "svg"], 2, "`graph.ruleset.title` is missing or wrong"],
    [["ship", "away.json", "--to", "dot"], 2, "Name a file with --out."],
    [["ship", "broken.ruleout"], 2, "fix the errors first"],
    [["ship", "newer.json", "--to", "page"], 2, "If you have the ruleset, name it instead of the graph."],
    [["ship", "slashed.json", "--to", "sql"], 2, "contains a backslash or a control character"],
    [["verify", "kiosk.ruleout"], 2, "isn't JSON"],
  ])("%j ends with %i", async (args, exit, says) => {
    await said(["ship", "kiosk.json", "--out", "whole.json", "--force"])
    const { ruleset, ...rest } = JSON.parse(read("whole.json"))
    put("nameless.json", JSON.stringify({ ...rest, ruleset: { ...ruleset, title: 3 } }))
    put("away.json", JSON.stringify({ ...rest, ruleset: { ...ruleset, name: "../away" } }))
    put("newer.json", JSON.stringify({ ...rest, ruleset, format: "ruleout-graph/3" }))
    put("slashed.json", read("whole.json").replaceAll('"reseat_ribbon"', '"reseat\\\\ribbon"'))
    put("broken.ruleout", "ruleset")
    const ran = await said(args)
    expect(ran.exit).toBe(exit)
    expect(ran.err).toContain(says)
    expect(ran.err).not.toMatch(/\n\s+at |node:|undefined|TypeError/)
    expect(existsSync(at("../away.dot"))).toBe(false)
  })
})

describe("ruleout verify", () => {
  const { privateKey, publicKey } = generateKeyPairSync("ed25519")
  put("shop.key", privateKey.export({ type: "pkcs8", format: "pem" }).toString())
  put("shop.pub", publicKey.export({ type: "spki", format: "pem" }).toString())
  const other = generateKeyPairSync("ed25519").publicKey
  put("other.pub", other.export({ type: "spki", format: "pem" }).toString())

  test("says whether the seal holds, and whose it is", async () => {
    await said(["ship", "kiosk.json", "--sign", "--key", "shop.key", "--out", "signed.json"])
    await said(["ship", "kiosk.json", "--sign", "--out", "sealed.json"])
    put("changed.json", read("signed.json").replace('"minutes":4', '"minutes":5'))
    const outcomes = []
    for (const args of [
      ["signed.json", "--key", "shop.pub"],
      ["signed.json"],
      ["sealed.json"],
      ["sealed.json", "--key", "shop.pub"],
      ["signed.json", "--key", "other.pub"],
      ["changed.json", "--key", "shop.pub"],
      ["changed.json"],
    ]) {
      const { exit, out, err } = await said(["verify", ...args])
      expect(err).toBe("")
      const json = JSON.parse((await said(["verify", ...args, "--json"])).out)
      expect(json.holds).toBe(exit === 0)
      outcomes.push(
        `${exit} ${out
          .replace(/[0-9a-f]{16}(?=[,.]| )/g, "ID")
          .replace(/\d{4}-\d\d-\d\dT[\d:]+Z/, "TIME")
          .split("\n")
          .slice(exit === 0 ? 1 : 0)
          .join(" ")
          .trim()}`,
      )
    }
    expect(outcomes).toEqual([
      "0 Signed with the key in `shop.pub`. Key ID, for release, TIME.",
      "0 It is signed too: name the public key with --key to check by whom. Key ID, for release, TIME.",
      "0 Not signed: anybody who changes the graph can seal it again.",
      "1 Refused: This graph isn't signed, so no key can prove who wrote it.",
      "1 Refused: This graph wasn't signed with that key, which is ID, but with the key ID.",
      "1 Refused: This graph was changed after it was sealed: its content doesn't match its digest.",
      "1 Refused: This graph was changed after it was sealed: its content doesn't match its digest.",
    ])
    expect((await said(["verify", "signed.json", "--key", "shop.key"])).err).toContain(
      "a public Ed25519 key in PEM format",
    )
  })

  test("what carries the graph carries its seal", async () => {
    for (const target of ["module", "page"]) {
      const { out } = await said(["ship", "signed.json", "--to", target, "--out", "-"])
      expect(out).toContain(JSON.parse(read("signed.json")).seal.signature)
    }
    const { out } = await said(["ship", "signed.json", "--to", "python", "--out", "-"])
    expect(out).toContain(JSON.parse(read("signed.json")).seal.signature)
  })
})
