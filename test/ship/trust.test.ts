import { generateKeyPairSync } from "node:crypto"
import { chmodSync } from "node:fs"
import fc from "fast-check"
import { afterAll, beforeAll, describe, expect, test, vi } from "vitest"
import { readJson } from "../../compiler/cli/io/read-json.ts"
import { openFolder, ruleout, said } from "../cli/run.ts"

// Each runs the command line many times, on a machine that may be busy.
vi.setConfig({ testTimeout: 120_000 })
afterAll(() => vi.resetConfig())

const { at, read, put } = openFolder()

const shop = generateKeyPairSync("ed25519")
const other = generateKeyPairSync("ed25519")
const seat = read("seat.ruleout")

beforeAll(async () => {
  for (const [name, pair] of Object.entries({ shop, other })) {
    put(`${name}.key`, pair.privateKey.export({ type: "pkcs8", format: "pem" }).toString())
    put(`${name}.pub`, pair.publicKey.export({ type: "spki", format: "pem" }).toString())
    chmodSync(at(`${name}.key`), 0o600)
  }
  put(
    "locked.key",
    shop.privateKey
      .export({ type: "pkcs8", format: "pem", cipher: "aes-256-cbc", passphrase: "x" })
      .toString(),
  )
  put("one.ruleout", seat.replace(/^(ruleset .*)$/m, '$1\n  version "1.3.9"'))
  const made = await said(["ship", "one.ruleout", "--key", "shop.key", "-o", "signed.json"])
  expect(made).toMatchObject({ exit: 0, err: "" })
  await said(["ship", "signed.json", "--sign", "-o", "sealed.json"])
  await said(["ship", "one.ruleout", "-o", "bare.json"])
  await said(["ship", "one.ruleout", "--key", "shop.key", "--purpose", "trial", "-o", "trial.json"])
  await said(["ship", "one.ruleout", "--key", "shop.key", "--expires", "2026-01-01", "-o", "expired.json"])
  for (const name of ["signed", "sealed"])
    put(`changed-${name}.json`, read(`${name}.json`).replace("1.3.9", "1.4.0"))
  put("empty-seal.json", read("sealed.json").replace(/"seal": ?\{[^}]*\}/, '"seal": {}'))
  const { seal } = JSON.parse(read("signed.json"))
  put(
    "moved-seal.json",
    read("bare.json")
      .replace(/\}\s*$/, `,"seal":${JSON.stringify(seal)}}`)
      .replace("1.3.9", "1.3.8"),
  )
  put("jobs.jsonl", '{"id":"K-1","steps":[]}\n')
})

/** A process of its own only where answers are read. */
const ran = (args: readonly string[]) =>
  args[0] === "bench" ? Promise.resolve(ruleout(args, "quit\n")) : said(args)

/** Every command that takes a graph. */
const takers: readonly (readonly [
  name: string,
  args: (graph: string) => readonly string[],
  takesKey: boolean,
])[] = [
  ["bench", (graph) => ["bench", graph], true],
  ["replay", (graph) => ["replay", graph, "jobs.jsonl"], true],
  ["ship", (graph) => ["ship", graph, "--to", "dot", "-o", "-"], true],
  ["compare, old", (graph) => ["compare", graph, "bare.json", "jobs.jsonl"], false],
  ["compare, new", (graph) => ["compare", "bare.json", graph, "jobs.jsonl"], false],
  ["import", (graph) => ["import", graph, "jobs.csv"], false],
]

describe.each(takers)("%s", (_, args) => {
  beforeAll(() => put("jobs.csv", "id,fault\nK-1,\n"))

  test.each(["changed-signed.json", "changed-sealed.json", "empty-seal.json", "moved-seal.json"])(
    "refuses %s, whose seal is broken",
    async (graph) => {
      const { exit, out, err } = await said(args(graph))
      expect({ exit, out }).toEqual({ exit: 2, out: "" })
      expect(err).toMatch(/This graph (was changed after it was sealed|has no seal)/)
    },
  )

  test("takes what is whole", async () => {
    for (const graph of ["signed.json", "sealed.json", "bare.json", "expired.json", "trial.json"])
      expect((await ran(args(graph))).err).not.toContain("seal")
  })
})

describe.each(takers.filter(([, , takesKey]) => takesKey))("%s", (_, args) => {
  test("with --key takes what that key signed, as a release, not expired", async () => {
    const outcome = async (graph: string, ...flags: string[]) => {
      const { exit, err } = await ran([...args(graph), ...flags])
      return exit === 2 ? err.split("\n")[0] : "taken"
    }
    expect(await outcome("signed.json", "--key", "shop.pub")).toBe("taken")
    expect(await outcome("signed.json", "--key", "other.pub")).toMatch(
      /wasn't signed with that key, which is/,
    )
    for (const graph of ["sealed.json", "moved-seal.json", "changed-signed.json"])
      expect(await outcome(graph, "--key", "shop.pub")).toMatch(
        /isn't signed|was changed after it was sealed/,
      )
    expect(await outcome("bare.json", "--key", "shop.pub")).toMatch(/has no seal/)
    expect(await outcome("expired.json", "--key", "shop.pub")).toMatch(/expired on 2026-01-01/)
    expect(await outcome("trial.json", "--key", "shop.pub")).toMatch(
      /signed as `trial`, and is wanted as `release`/,
    )
    expect(await outcome("one.ruleout", "--key", "shop.pub")).toMatch(
      /is a ruleset, and only graphs are signed/,
    )
    expect(await outcome("signed.json", "--key", "shop.pub", "--at-least", "1.3.9")).toBe("taken")
    expect(await outcome("signed.json", "--key", "shop.pub", "--at-least", "1.4.0")).toMatch(
      /is version 1.3.9, older than 1.4.0/,
    )
    expect(await outcome("one.ruleout", "--at-least", "1.10.0")).toMatch(/older than 1.10.0/)
    expect(await outcome("signed.json", "--at-least", "new")).toMatch(/can't be compared with `new`/)
  })
})

describe("verify", () => {
  test("refuses what is old, expired, or signed for something else", async () => {
    const outcome = async (...args: string[]) => {
      const { exit, out } = await said(["verify", ...args, "--key", "shop.pub"])
      return [exit, out.split("\n")[0]]
    }
    expect(await outcome("signed.json", "--at-least", "1.3.9")).toEqual([
      0,
      expect.stringContaining("The seal holds"),
    ])
    expect(await outcome("signed.json", "--at-least", "1.4.0")).toEqual([
      1,
      "Refused: This is version 1.3.9, older than 1.4.0.",
    ])
    expect(await outcome("expired.json")).toEqual([1, expect.stringContaining("expired on 2026-01-01")])
    expect(await outcome("trial.json")).toEqual([1, expect.stringContaining("signed as `trial`")])
    expect(await outcome("trial.json", "--purpose", "trial")).toEqual([
      0,
      expect.stringContaining("The seal holds"),
    ])
  })
})

describe("signing", () => {
  test("calls an encrypted key by its name, and warns of one that everybody can read", async () => {
    const locked = await said(["ship", "bare.json", "--key", "locked.key", "-o", "x.json"])
    expect(locked.exit).toBe(2)
    expect(locked.err).toContain("`locked.key`: This private key is encrypted with a passphrase.")
    expect(locked.err).toContain("openssl pkey -in KEY -out PLAIN")
    chmodSync(at("other.key"), 0o644)
    const { exit, err } = await said(["ship", "bare.json", "--key", "other.key", "-o", "x.json"])
    expect(exit).toBe(0)
    expect(err).toBe(
      "Warning: everybody on this machine can read the private key `other.key`: chmod 600 it.\n",
    )
  })

  test("what one key signed is signed anew with another, and the time can be given", () => {
    const args = ["ship", "signed.json", "--key", "shop.pub", "--key", "shop.key", "-o", "-"]
    const env = { SOURCE_DATE_EPOCH: "1767225600" }
    const { out } = ruleout(args, "", env)
    expect(JSON.parse(out).seal.at).toBe("2026-01-01T00:00:00Z")
    expect(ruleout(args, "", env).out).toBe(out)
    expect(ruleout(["ship", "signed.json", "--key", "shop.key", "--key", "other.key"]).err).toContain(
      "one private key",
    )
    expect(ruleout(["ship", "signed.json", "--expires", "2027-01-31"]).err).toContain(
      "are part of a signature",
    )
    expect(ruleout(["ship", "signed.json", "--key", "shop.key", "--expires", "2027-02-31"])).toMatchObject({
      exit: 2,
    })
  })
})

describe("a key that stands twice in an object", () => {
  test("is refused by its name, wherever it is", () => {
    const graph = read("bare.json")
    const places = [...graph.matchAll(/"(\w+)": ?(?=[^\s])/g)].filter((_, i) => i % 9 === 0)
    expect(places.length).toBeGreaterThan(10)
    for (const { 1: key, index } of places) {
      put("doubled.json", `${graph.slice(0, index)}"${key}": 0, ${graph.slice(index)}`)
      expect(() => readJson("doubled.json", read("doubled.json"))).toThrow(
        `has the key \`${key}\` twice in one object`,
      )
    }
    for (const command of [["verify"], ["bench"], ["ship"]])
      expect(ruleout([...command, "doubled.json"])).toMatchObject({
        exit: 2,
        err: expect.stringContaining("twice in one object"),
      })
  })

  test("is seen in any JSON, and nowhere else", () => {
    const key = fc.constantFrom("a", "b", '"', "\\", "{", "__proto__", "a:", "\u2028")
    const { json } = fc.letrec((tie) => ({
      json: fc.oneof({ depthSize: "small" }, key, fc.integer(), fc.array(tie("json")), tie("object")),
      object: fc.record({
        fields: fc.array(fc.tuple(key, tie("json"), fc.constantFrom("", " ", "\n")), { maxLength: 4 }),
      }),
    })) as unknown as { json: fc.Arbitrary<unknown> }
    let doubled = 0
    fc.assert(
      fc.property(json, (value) => {
        let isDoubled = false
        const write = (each: unknown): string => {
          if (Array.isArray(each)) return `[${each.map(write).join(",")}]`
          if (typeof each !== "object") return JSON.stringify(each)
          const { fields } = each as { fields: [string, unknown, string][] }
          if (new Set(fields.map(([name]) => name)).size < fields.length) isDoubled = true
          return `{${fields.map(([name, inner, space]) => `${JSON.stringify(name)}${space}:${space}${write(inner)}`).join(",")}}`
        }
        const text = write(value)
        if (isDoubled) {
          doubled++
          expect(() => readJson("x", text)).toThrow("twice in one object")
        } else expect(readJson("x", text)).toEqual(JSON.parse(text))
      }),
      { numRuns: 2000 },
    )
    expect(doubled).toBeGreaterThan(100)
  })

  test("is looked for in step with the length, whatever is in the text", () => {
    for (const text of [
      `{"a":"${"x".repeat(2e7)}"}`,
      `{"a":"${'\\"'.repeat(5e6)}"}`,
      `{"a":"${"\\\\".repeat(5e6)}"}`,
      `[${'"a",'.repeat(2e6)}"a"]`,
    ])
      expect(readJson("x", text)).toEqual(JSON.parse(text))
  })
})
