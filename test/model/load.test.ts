import { describe, expect, test } from "vitest"
import { renderText } from "../../compiler/diagnostics/render.ts"
import { bind } from "../../compiler/model/bind.ts"
import { load } from "../../compiler/model/load.ts"

const ROOT = `ruleset r "R"
complaint dark "dark"
part box "box"
fault worn "worn" in box odds 1
`

/** Files by path, the first one the root. Every path asked for is kept, to see that nothing else is read. */
function loading(files: Record<string, string>) {
  const asked: string[] = []
  const known = new Map(Object.entries(files))
  const loaded = load(Object.keys(files)[0]!, (path) => {
    asked.push(path)
    return known.get(path)
  })
  return { ...loaded, asked, codes: loaded.diagnostics.map(({ code }) => code) }
}

describe("files are brought in", () => {
  test("relative to the file that uses them, each once, in the order of use, the root first", () => {
    const { trees, sources, codes, asked } = loading({
      "shop/kiosk.ruleout": `${ROOT}use "shared/a.ruleout" use "./shared/../shared/b.ruleout"`,
      "shop/shared/a.ruleout": 'use "deep/c.ruleout" part a "a"',
      "shop/shared/b.ruleout": 'use "deep/c.ruleout" part b "b"',
      "shop/shared/deep/c.ruleout": 'part c "c"',
    })
    const order = [
      "shop/kiosk.ruleout",
      "shop/shared/a.ruleout",
      "shop/shared/deep/c.ruleout",
      "shop/shared/b.ruleout",
    ]
    expect(codes).toEqual([])
    expect(trees.map(({ file }) => file)).toEqual(order)
    expect([...sources.keys()]).toEqual(order)
    expect(asked).toEqual(order)
    const { model, diagnostics } = bind(trees, sources)
    expect(diagnostics).toEqual([])
    expect(model!.places.map(({ name }) => name)).toEqual(["box", "a", "c", "b"])
  })

  test.each([
    ["main.ruleout", "a.ruleout"],
    ["./main.ruleout", "./a.ruleout"],
    ["../far/main.ruleout", "../far/a.ruleout"],
    ["/shop/main.ruleout", "/shop/a.ruleout"],
  ])("from a root at %s", (root, used) => {
    const { codes, sources } = loading({ [root]: `${ROOT}use "a.ruleout"`, [used]: 'part a "a"' })
    expect(codes).toEqual([])
    expect([...sources.keys()]).toEqual([root, used])
  })

  test("what the parser finds in a used file is told with it", () => {
    const { diagnostics } = loading({ "main.ruleout": `${ROOT}use "a.ruleout"`, "a.ruleout": "part a" })
    expect(diagnostics.map(({ severity, span }) => [severity, span.file])).toEqual([["error", "a.ruleout"]])
  })

  test("rules of a used file have the lines of that file", () => {
    const { trees, sources } = loading({
      "main.ruleout": `${ROOT}reading x "x" yes or no\nuse "a.ruleout"\nwhen x is yes rule out worn`,
      "a.ruleout": "\n\nwhen x is no rule out worn",
    })
    expect(bind(trees, sources).model!.rules.map(({ line }) => line)).toEqual([7, 3])
  })

  test("files named like things of a host language", () => {
    const { codes } = loading({
      "main.ruleout": `${ROOT}use "__proto__" use "constructor"`,
      constructor: 'part a "a"',
    })
    expect(codes).toEqual(["missing-file"])
  })
})

describe("what cannot be used", () => {
  const cases: [string, string, Record<string, string>][] = [
    ["a file that is not there", "missing-file", { "shop/main.ruleout": `${ROOT}use "shared/gone.ruleout"` }],
    ["an absolute path", "bad-path", { "main.ruleout": `${ROOT}use "/etc/rules.ruleout"` }],
    ["a drive", "bad-path", { "main.ruleout": `${ROOT}use "C:/rules.ruleout"` }],
    ["an address", "bad-path", { "main.ruleout": `${ROOT}use "file:rules.ruleout"` }],
    ["a backslash", "bad-path", { "main.ruleout": `${ROOT}use "shared\\\\a.ruleout"` }],
    ["a way out", "bad-path", { "shop/main.ruleout": `${ROOT}use "../other.ruleout"`, "other.ruleout": "" }],
    [
      "a way out and back in",
      "bad-path",
      { "shop/main.ruleout": `${ROOT}use "a/../../shop/b.ruleout"`, "shop/b.ruleout": "" },
    ],
    ["a folder", "bad-path", { "shop/main.ruleout": `${ROOT}use "./"` }],
    ["nothing", "bad-path", { "main.ruleout": `${ROOT}use ""` }],
    ["itself", "cycle", { "main.ruleout": `${ROOT}use "main.ruleout"` }],
    [
      "a file that leads back",
      "cycle",
      {
        "shop/main.ruleout": `${ROOT}use "a.ruleout"`,
        "shop/a.ruleout": 'use "shared/b.ruleout"',
        "shop/shared/b.ruleout": 'part b "b" use "../a.ruleout"',
      },
    ],
    [
      "a whole ruleset",
      "doubled-declaration",
      { "main.ruleout": `${ROOT}use "a.ruleout"`, "a.ruleout": 'ruleset other "Other" part a "a"' },
    ],
  ]

  test.each(cases)("%s", (_, code, files) => {
    const { codes, diagnostics, sources, asked, trees } = loading(files)
    expect(codes).toEqual([code])
    expect(renderText(diagnostics, sources)).toMatchSnapshot()
    // Binding does not say it again, and nothing outside the root's folder was asked for.
    expect(bind(trees, sources).diagnostics).toEqual([])
    const folder = /^(.*\/)?/.exec(Object.keys(files)[0]!)![0]
    for (const path of asked) expect(path.startsWith(folder) && !path.includes("..")).toBe(true)
  })

  test("a root that is not there", () => {
    const { trees, diagnostics } = load("gone.ruleout", () => undefined)
    expect(trees).toEqual([])
    expect(diagnostics.map(({ code, message }) => [code, message])).toEqual([
      ["missing-file", "`gone.ruleout` isn't there."],
    ])
    expect(bind(trees)).toEqual({ diagnostics: [], scenarios: [] })
  })
})
