import { createHash, createPublicKey, generateKeyPairSync, sign } from "node:crypto"
import { mkdtempSync, rmSync, writeFileSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { Ajv2020 } from "ajv/dist/2020.js"
import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { graphSchema } from "../../compiler/graph/schema.ts"
import { graphText } from "../../compiler/graph/text.ts"
import type { Graph } from "../../compiler/run/graph.ts"
import { open } from "../../compiler/run/index.ts"
import { canonicalJson } from "../../compiler/ship/canonical-json.ts"
import { isOlder, KeyError, seal, VerifyError, verify, writePage } from "../../compiler/ship/index.ts"
import { browser } from "./browser.ts"
import { bundled } from "./bundle.ts"
import { kiosk, pageParts } from "./parts.ts"

const { subtle } = crypto
const at = "2026-03-09T12:00:00Z"
const now = "2026-04-01T08:00:00.000Z"
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
  test("is the digest of the canonical spelling, and the signature of the rest of the seal, as others make them", async () => {
    const expires = "2027-01-31T00:00:00Z"
    const sealed = await seal(kiosk, { subtle, key: shop.key, at, expires, purpose: "trial" })
    const content = Buffer.from(canonicalJson(parsed(kiosk)))
    const spki = createPublicKey(shop.pub).export({ type: "spki", format: "der" })
    const terms = {
      digest: `sha256:${createHash("sha256").update(content).digest("hex")}`,
      key: createHash("sha256").update(spki).digest("hex").slice(0, 16),
      purpose: "trial",
      at,
      expires,
    }
    const signed = Buffer.from(canonicalJson(terms))
    expect(sealed.seal).toEqual({
      ...terms,
      signature: `ed25519:${sign(null, signed, shop.privateKey).toString("base64")}`,
    })
    const again = await seal(sealed, { subtle, key: shop.key, at, expires, purpose: "trial" })
    expect(again).toEqual(sealed)
    expect(new Ajv2020({ strict: false }).validate(graphSchema, parsed(sealed))).toBe(true)
  })

  test("holds for its purpose and its time alone, whatever else is changed in the seal", async () => {
    const expires = "2027-01-31T00:00:00Z"
    const signed = await seal(kiosk, { subtle, key: shop.key, at, expires, purpose: "trial" })
    const outcome = (graph: unknown, options: object) =>
      verify(graph, { subtle, key: shop.pub, now, ...options }).then(
        ({ authentic }) => authentic,
        (problem) => problem.message,
      )
    expect(await outcome(signed, { purpose: "trial" })).toBe(true)
    expect(await outcome(signed, {})).toBe("This graph was signed as `trial`, and is wanted as `release`.")
    expect(await outcome(signed, { purpose: "trial", now: "2027-01-30T23:59:59Z" })).toBe(true)
    expect(await outcome(signed, { purpose: "trial", now: "2027-01-31T00:00:00.000Z" })).toMatch(
      /expired on 2027-01-31/,
    )
    expect(await outcome(signed, { purpose: "trial", now: undefined })).toMatch(/has to say what time it is/)
    const other = (await seal(kiosk, { subtle, key: stranger.key, at })).seal!
    for (const change of [
      { purpose: "release" },
      { expires: "2099-01-01T00:00:00Z" },
      { expires: undefined },
      { at: "2026-03-10T12:00:00Z" },
      { key: undefined },
      { key: other.key },
      { signature: other.signature },
      { more: "than was signed" },
    ])
      for (const purpose of ["trial", "release"])
        expect(await outcome({ ...signed, seal: { ...signed.seal, ...change } }, { purpose })).toMatch(
          /wasn't signed with that key/,
        )
    // A signature of the content alone, or of a seal without its times, isn't one of a graph.
    const { signature: _, at: __, expires: ___, ...timeless } = signed.seal!
    const bare = sign(null, Buffer.from(canonicalJson(timeless)), shop.privateKey).toString("base64")
    const seals = { ...timeless, signature: `ed25519:${bare}` }
    expect(await outcome({ ...signed, seal: seals }, { purpose: "trial" })).toMatch(
      /doesn't say when it was signed/,
    )
  })

  test("calls a key that is another one by its name", async () => {
    const encrypted = shop.privateKey
      .export({ type: "pkcs8", format: "pem", cipher: "aes-256-cbc", passphrase: "x" })
      .toString()
    const rsa = generateKeyPairSync("rsa", { modulusLength: 2048 })
    const signing = (key: string) =>
      seal(kiosk, { subtle, key, at }).then(String, (problem) => problem.message)
    expect(await signing(encrypted)).toMatch(/^This private key is encrypted with a passphrase/)
    expect(await signing(shop.pub)).toMatch(/^This is `PUBLIC KEY`. What is needed is a private Ed25519 key/)
    expect(await signing(rsa.privateKey.export({ type: "pkcs1", format: "pem" }).toString())).toMatch(
      /^This is `RSA PRIVATE KEY`/,
    )
    expect(await signing(rsa.privateKey.export({ type: "pkcs8", format: "pem" }).toString())).toMatch(
      /^This isn't a private Ed25519 key/,
    )
  })

  test("holds after the document was read from its text, and the runner does not mind it", async () => {
    const there = parsed(await seal(kiosk, { subtle, key: shop.key, at }))
    const { digest } = there.seal!
    const said = { key: there.seal!.key, purpose: "release", at }
    expect(await verify(there, { subtle })).toEqual({ digest, signed: true, authentic: false, ...said })
    expect(await verify(there, { subtle, key: shop.pub })).toEqual({
      digest,
      signed: true,
      authentic: true,
      ...said,
    })
    expect(open(there).next).toEqual(open(kiosk).next)
    const reordered = Object.fromEntries(Object.entries(there).reverse())
    expect((await verify(reordered, { subtle, key: shop.pub })).authentic).toBe(true)
  })

  test("is broken by any change anywhere, also where the digest is made anew", async () => {
    const text = graphText(await seal(kiosk, { subtle, key: shop.key, at }))
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
        const { digest: _, ...rest } = changed.seal
        changed = await seal(changed, { subtle })
        Object.assign(changed.seal, rest)
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
    const signed = await seal(kiosk, { subtle, key: stranger.key, at })
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
    await expect(seal(kiosk, { subtle, key: shop.pub, at })).rejects.toThrow(KeyError)
    await expect(verify({}, { subtle })).rejects.toThrow(VerifyError)
  })
})

describe("the order of versions", () => {
  test("is that of Semantic Versioning 2.0.0, 11", () => {
    const rising = [
      "1.0.0-alpha",
      "1.0.0-alpha.1",
      "1.0.0-alpha.beta",
      "1.0.0-beta",
      "1.0.0-beta.2",
      "1.0.0-beta.11",
      "1.0.0-rc.1",
      "1.0.0",
      "1.9.0",
      "1.10.0",
      "1.11.0",
      "2.0.0",
      "2.1.0",
      "2.1.1",
    ]
    for (const [i, a] of rising.entries())
      for (const [k, b] of rising.entries()) expect([a, b, isOlder(a, b)]).toEqual([a, b, i < k])
    expect(isOlder("1.0.0+7", "1.0.0")).toBe(false)
    for (const none of ["1.0", "v1.0.0", "", "1.0.0.0", "one"]) expect(isOlder(none, "1.0.0")).toBeUndefined()
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
    const sealed = graphText(await seal(kiosk, { subtle, key: shop.key, at }))
    const outcome = (text: string) =>
      page.evaluate(
        `bundle.verify(JSON.parse(${JSON.stringify(text)}), { subtle: crypto.subtle, key: ${JSON.stringify(shop.pub)} })
          .then((seal) => seal.authentic, (problem) => problem.message)`,
      )
    expect(await outcome(sealed)).toBe(true)
    expect(await outcome(sealed.replace('"minutes":4', '"minutes":5'))).toMatch(/changed after it was sealed/)
  })

  test("a page whose graph was changed after it was sealed, or has expired, is refused", async () => {
    const folder = mkdtempSync(join(tmpdir(), "ruleout-page-"))
    const page = await openPage()
    const says = async (text: string) => {
      writeFileSync(join(folder, "page.html"), text)
      await page.goto(pathToFileURL(join(folder, "page.html")).href)
      await page.waitForSelector("main *")
      return page.evaluate<string>('document.querySelector("main").innerText')
    }
    const sealed = writePage(await seal(kiosk, { subtle }), pageParts)
    expect(await says(sealed)).not.toContain("after its graph was sealed")
    expect(await says(sealed.replace('"minutes":4', '"minutes":5'))).toMatch(
      /^This page was changed after its graph was sealed: don't use it/,
    )
    const signing = { subtle, key: shop.key, at }
    const until = async (expires: string) =>
      says(writePage(await seal(kiosk, { ...signing, expires }), pageParts))
    expect(await until("2026-03-10T00:00:00Z")).toMatch(/^This page was made to be used until 2026-03-10/)
    expect(await until("2999-01-01T00:00:00Z")).not.toContain("until")
    rmSync(folder, { recursive: true })
  })
})
