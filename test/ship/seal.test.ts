import { createHash, generateKeyPairSync, sign } from "node:crypto"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { graphText } from "../../compiler/graph/text.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import { canonicalJson } from "../../compiler/ship/canonical-json.ts"
import { KeyError, seal, VerifyError, verify } from "../../compiler/ship/index.ts"
import { browser } from "./browser.ts"
import { bundled } from "./bundle.ts"
import { kiosk } from "./parts.ts"

const { subtle } = crypto
const pair = () => {
  const { privateKey, publicKey } = generateKeyPairSync("ed25519")
  return {
    privateKey,
    key: privateKey.export({ type: "pkcs8", format: "pem" }).toString(),
    pub: publicKey.export({ type: "spki", format: "pem" }).toString(),
  }
}
const shop = pair()
const stranger = pair()
const parsed = (graph: Graph) => JSON.parse(graphText(graph)) as Graph

describe("the canonical spelling", () => {
  test("is that of RFC 8785, 3.2.2 and 3.2.3", () => {
    expect(
      canonicalJson(
        JSON.parse(
          String.raw`{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}`,
        ),
      ),
    ).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    )
    const keys = JSON.parse(
      String.raw`{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One", "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"}`,
    )
    expect(Object.values(JSON.parse(canonicalJson(keys)))).toHaveLength(7)
    const order = [...canonicalJson(keys).matchAll(/:"(\w+)/g)].map((match) => match[1])
    expect(order).toEqual(["Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"])
  })

  test("of two values is the same only where they are", () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.jsonValue(), (a, b) => {
        expect(canonicalJson(a) === canonicalJson(b)).toBe(
          canonicalJson(JSON.parse(JSON.stringify(a))) === canonicalJson(JSON.parse(JSON.stringify(b))),
        )
        expect(JSON.parse(canonicalJson(a))).toEqual(JSON.parse(JSON.stringify(a)))
      }),
    )
    expect(canonicalJson({ b: 1, a: 2 })).toBe(canonicalJson({ a: 2, b: 1 }))
    expect(canonicalJson(JSON.parse('{"__proto__":1}'))).toBe('{"__proto__":1}')
  })
})

describe("the seal", () => {
  test("is the digest and the signature of the canonical spelling, as others make them", async () => {
    const sealed = await seal(kiosk, { subtle, key: shop.key })
    const content = Buffer.from(canonicalJson(parsed(kiosk)))
    expect(sealed.seal).toEqual({
      digest: `sha256:${createHash("sha256").update(content).digest("hex")}`,
      signature: `ed25519:${sign(null, content, shop.privateKey).toString("base64")}`,
    })
    expect(await seal(sealed, { subtle, key: shop.key })).toEqual(sealed)
  })

  test("holds after the document was read from its text, and the runner does not mind it", async () => {
    const there = parsed(await seal(kiosk, { subtle, key: shop.key }))
    const { digest } = there.seal!
    expect(await verify(there, { subtle })).toEqual({ digest, signed: true, authentic: false })
    expect(await verify(there, { subtle, key: shop.pub })).toEqual({ digest, signed: true, authentic: true })
    expect(open(there).next).toEqual(open(kiosk).next)
    const reordered = Object.fromEntries(Object.entries(there).reverse())
    expect((await verify(reordered, { subtle, key: shop.pub })).authentic).toBe(true)
  })

  test("is broken by any change anywhere, also where the digest is made anew", async () => {
    const text = graphText(await seal(kiosk, { subtle, key: shop.key }))
    const places: (string | number)[][] = []
    const walk = (value: unknown, path: (string | number)[]) => {
      if (typeof value !== "object" || value === null) places.push(path)
      else for (const key of Object.keys(value)) walk((value as Record<string, unknown>)[key], [...path, key])
    }
    const { seal: _, ...content } = JSON.parse(text)
    walk(content, [])
    expect(places.length).toBeGreaterThan(300)
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...places), fc.boolean(), async (path, anew) => {
        let changed = JSON.parse(text)
        const holder = path.slice(0, -1).reduce((so, key) => so[key], changed)
        const last = path.at(-1)!
        const before = holder[last]
        holder[last] =
          typeof before === "number" ? before + 1 : typeof before === "string" ? `${before} ` : !before
        await expect(verify(changed, { subtle, key: shop.pub })).rejects.toThrow(
          "its content doesn't match its digest",
        )
        if (!anew) return
        const { signature } = changed.seal
        changed = await seal(changed, { subtle })
        changed.seal.signature = signature
        await expect(verify(changed, { subtle })).resolves.toMatchObject({ authentic: false })
        await expect(verify(changed, { subtle, key: shop.pub })).rejects.toThrow(
          "wasn't signed with that key",
        )
      }),
    )
  })

  test("refuses what it should, in words", async () => {
    const refused = (document: unknown, key?: string) =>
      verify(document, { subtle, key }).then(
        () => "taken",
        (problem) => `${problem.name}: ${problem.message}`,
      )
    const plain = await seal(kiosk, { subtle })
    const signed = await seal(kiosk, { subtle, key: stranger.key })
    const deep = JSON.parse(`${"[".repeat(5000)}${"]".repeat(5000)}`)
    expect(await refused(kiosk)).toBe("VerifyError: This graph has no seal: ship it with --sign.")
    for (const none of [null, 3, "x", [], { seal: 3 }, { seal: null }])
      expect(await refused(none)).toMatch(/no seal/)
    expect(await refused(plain)).toBe("taken")
    expect(await refused(plain, shop.pub)).toMatch(/^VerifyError: This graph isn't signed/)
    expect(await refused(signed, shop.pub)).toMatch(/^VerifyError: This graph wasn't signed with that key/)
    expect(await refused(signed, "no key")).toBe("KeyError: This isn't a public Ed25519 key in PEM format.")
    expect(await refused(signed, shop.key)).toMatch(/^KeyError/)
    expect(await refused({ ...plain, deep })).toMatch(
      /^VerifyError: This isn't a graph: it is nested too deep/,
    )
    expect(await refused({ ...plain, big: Number.POSITIVE_INFINITY })).toMatch(/^VerifyError/)
    expect(await refused({ ...plain, seal: { ...plain.seal, signature: "ed25519:x" } }, shop.pub)).toMatch(
      /^Verify/,
    )
    await expect(seal(kiosk, { subtle, key: shop.pub })).rejects.toThrow(KeyError)
    await expect(verify({}, { subtle })).rejects.toThrow(VerifyError)
  })
})

describe("in Chromium", () => {
  const openPage = browser()

  test("a graph that Node signed is verified, a changed one refused", async () => {
    const page = await openPage()
    // WebCrypto is for secure places alone; a page of this machine is one.
    await page.route("**/*", (route) => route.fulfill({ contentType: "text/html", body: "<!doctype html>" }))
    await page.goto("http://localhost/")
    await page.addScriptTag({ content: await bundled("compiler/ship/verify.ts", "iife") })
    const sealed = graphText(await seal(kiosk, { subtle, key: shop.key }))
    const outcome = (text: string) =>
      page.evaluate(
        `bundle.verify(JSON.parse(${JSON.stringify(text)}), { subtle: crypto.subtle, key: ${JSON.stringify(shop.pub)} })
          .then((seal) => seal.authentic, (problem) => problem.message)`,
      )
    expect(await outcome(sealed)).toBe(true)
    expect(await outcome(sealed.replace('"minutes":4', '"minutes":5'))).toMatch(/changed after it was sealed/)
  })
})
