import { describe, expect, test } from "vitest"
import { compile } from "../../compiler/compile.ts"
import { graphText } from "../../compiler/graph/text.ts"
import { checkPicture, LARGEST_PICTURE } from "../../compiler/model/pictures/check-picture.ts"
import { cleanSvg } from "../../compiler/model/pictures/clean-svg.ts"
import { open } from "../../compiler/run/index.ts"
import { JPEG, PNG, SVG, WEBP } from "../support/pictures.ts"

const bytesOf = (text: string) => new TextEncoder().encode(text)
const svg = (inside: string, attributes = 'viewBox="0 0 40 20"') =>
  `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${attributes}>${inside}</svg>`

const ROOT = `ruleset r "R"
complaint dark "dark"
part box "box" price 9 spare
setup plug "plug" of box
fault worn "worn" in box odds 3 shows glow is no 80%
fault loose "loose" in plug odds 1
reading glow "Any glow?" yes or no
  normally is yes 90%
told moved "Moved?" yes or no
when moved is yes rule out worn 50%
test look "Look" reads glow takes 1 min
  caution "Live."
test push "Push" redoes plug takes 2 min
test try_box "Try a box" swaps box takes 9 min
`

/** Compiles lines after the ruleset, with the files that are there besides. */
function compiled(text: string, files: Readonly<Record<string, Uint8Array>> = {}) {
  return compile("shop/r.ruleout", () => text, { readPicture: (path) => files[path], effort: 200 })
}

function withPictures() {
  const text = ROOT.replace("spare", 'spare picture "images/box.png" "the box"')
    .replace("of box", 'of box picture "images/box.png" "where the plug is"')
    .replace("80%", '80% picture "worn.jpg" "a worn track"')
    .replace("90%", '90% picture "images/glow.webp" "glow in the dark"')
    .replace('"Moved?" yes or no', '"Moved?" yes or no picture "images/box.png" "was it here?"')
    .replace("takes 1 min", 'takes 1 min picture "images/probe.svg" "the probe on pin 3"')
    .replace('"Live."', '"Live." picture "images/probe.svg" "the live pins" picture "worn.jpg" "burnt"')
  return compiled(text, {
    "shop/images/box.png": PNG,
    "shop/worn.jpg": JPEG,
    "shop/images/glow.webp": WEBP,
    "shop/images/probe.svg": bytesOf(SVG),
  })
}

describe("pictures of a ruleset", () => {
  test("are in the graph each once, by digest, with where they are shown and what they show", () => {
    const { graph, diagnostics, model } = withPictures()
    expect(diagnostics.filter(({ severity }) => severity === "error")).toEqual([])
    expect(graph!.pictures!.map(({ digest: _, ...picture }) => picture)).toEqual([
      { type: "image/png", width: 3, height: 2 },
      { type: "image/jpeg", width: 2, height: 3 },
      { type: "image/webp", width: 4, height: 5 },
      { type: "image/svg+xml", width: 40, height: 20 },
    ])
    expect(new Set(graph!.pictures!.map(({ digest }) => digest)).size).toBe(4)
    expect(graph!.places.map(({ pictures }) => pictures)).toEqual([
      [{ picture: 0, text: "the box" }],
      [{ picture: 0, text: "where the plug is" }],
    ])
    expect(graph!.faults[0]!.pictures).toEqual([{ picture: 1, text: "a worn track" }])
    expect(graph!.readings[0]!.pictures).toEqual([{ picture: 2, text: "glow in the dark" }])
    expect(graph!.readings[1]!.pictures).toEqual([{ picture: 0, text: "was it here?" }])
    expect(graph!.tests[0]!.pictures).toEqual([
      { picture: 3, text: "the probe on pin 3" },
      { picture: 3, text: "the live pins", caution: 0 },
      { picture: 1, text: "burnt", caution: 0 },
    ])
    expect(graph!.tests[0]!.cautions).toEqual(["Live."])
    expect(model!.pictures!.map(({ bytes }) => bytes.length > 0)).toEqual([true, true, true, true])
    expect(graphText(graph!)).not.toContain("bytes")
    expect(open(JSON.parse(graphText(graph!))).next).toBeDefined()
  })

  test("decide nothing: nodes, chances and model are the same without them", () => {
    const [bare, shown] = [compiled(ROOT).graph!, withPictures().graph!]
    for (const field of ["nodes", "model", "expected", "proof", "rules", "proofs"] as const)
      expect(JSON.stringify(shown[field]), field).toBe(JSON.stringify(bare[field]))
    expect(bare.pictures).toBeUndefined()
    expect(shown.ruleset.source).not.toBe(bare.ruleset.source)
  })

  test("another picture under the same name is another source", () => {
    const text = ROOT.replace("spare", 'spare picture "box.png" "the box"')
    const [one, other] = [PNG, WEBP].map((bytes) => compiled(text, { "shop/box.png": bytes }).graph!)
    expect(one!.ruleset.source).not.toBe(other!.ruleset.source)
  })

  test("are found as seen from the file that names them, inside of the ruleset's folder only", () => {
    const files: Record<string, string> = {
      "shop/r.ruleout": `${ROOT}use "shared/tools.ruleout"`,
      "shop/shared/tools.ruleout": 'part clip "clip" picture "../images/clip.png" "the clip"',
    }
    const asked: string[] = []
    const { graph } = compile("shop/r.ruleout", (path) => files[path], {
      readPicture: (path) => {
        asked.push(path)
        return PNG
      },
    })
    expect(asked).toEqual(["shop/images/clip.png"])
    expect(graph!.places[2]!.pictures).toEqual([{ picture: 0, text: "the clip" }])
  })
})

describe("what is said of a picture that can't be shown", () => {
  const big = new Uint8Array(LARGEST_PICTURE + 1)
  const wide = PNG.slice()
  new DataView(wide.buffer).setUint32(16, 9000)
  new DataView(wide.buffer).setUint32(20, 9000)

  test.each([
    ['picture "no.png" "x"', "missing-file", "`no.png` isn't there."],
    ['picture "/etc/p.png" "x"', "bad-path", "`/etc/p.png` isn't a relative path."],
    ['picture "https://a.example/p.png" "x"', "bad-path", "`https://a.example/p.png` isn't a relative path."],
    ['picture "../p.png" "x"', "bad-path", "`../p.png` leads out of the ruleset's own folder."],
    ['picture "big.png" "x"', "large-picture", "`big.png` is larger than 2 MiB."],
    ['picture "wide.png" "x"', "large-picture", "`wide.png` has 9000 × 9000 pixels, more than 40 million."],
    ['picture "notes.txt" "x"', "bad-picture", "`notes.txt` isn't a picture that can be shown."],
    ['picture "page.html" "x"', "bad-picture", "`page.html` isn't SVG."],
    ['picture "p.png" "  "', "missing-clause", "This picture doesn't say what it shows."],
    ['picture "p.png"', "incomplete", 'Expected what the picture shows, in quotes after `"p.png"`.'],
    [
      'caution "Hot." picture "p.png"',
      "incomplete",
      'Expected what the picture shows, in quotes after `"p.png"`.',
    ],
    [
      'picture "evil.svg" "x"',
      "cleaned-picture",
      "`evil.svg` is shown without its scripts and event handlers.",
    ],
  ])("%s: %s", (clause, code, message) => {
    const text = ROOT.replace("takes 1 min", `takes 1 min ${clause}`)
    const { diagnostics } = compiled(text, {
      "shop/big.png": big,
      "shop/wide.png": wide,
      "shop/notes.txt": bytesOf("look at pin 3"),
      "shop/page.html": bytesOf("<html><body/></html>"),
      "shop/p.png": PNG,
      "shop/evil.svg": bytesOf(svg('<script>alert(1)</script><rect onclick="alert(1)" width="9"/>')),
    })
    const said = diagnostics.filter(({ severity }) => severity !== "note")
    expect(said.map((each) => [each.code, each.message])).toEqual([[code, message]])
    const { start, end } = said[0]!.span
    expect(text.slice(start, end).startsWith('"')).toBe(true)
  })

  test("all together they have a limit too, which is said once", () => {
    const names = Array.from({ length: 12 }, (_, i) => `p${i}.png`)
    const files = names.map((name, i) => {
      const bytes = new Uint8Array(LARGEST_PICTURE)
      bytes.set(PNG)
      bytes[bytes.length - 1] = i
      return [`shop/${name}`, bytes] as const
    })
    const clauses = names.map((name) => `picture "${name}" "x"`).join(" ")
    const { diagnostics } = compiled(
      ROOT.replace("takes 1 min", `takes 1 min ${clauses}`),
      Object.fromEntries(files),
    )
    expect(
      diagnostics.filter(({ code }) => code === "large-picture").map(({ span }) => span.start),
    ).toHaveLength(1)
  })
})

describe("a drawing is cleaned", () => {
  const inside = (text: string, attributes?: string) =>
    cleanSvg(svg(text, attributes)).text.replace(/^<svg[^>]*>|<\/svg>$/g, "")

  test.each([
    ["<script>alert(1)</script><rect width='9' height='9'/>", '<rect width="9" height="9"></rect>'],
    ['<rect width="9" onload="alert(1)" onClick="x"/>', '<rect width="9"></rect>'],
    ['<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">x</p></foreignObject>', ""],
    ['<image href="https://a.example/p.png" width="9"/>', '<image width="9"></image>'],
    ['<image xlink:href="file:///p.png"/>', "<image></image>"],
    ['<image href="data:image/svg+xml;base64,PHN2Zy8+"/>', "<image></image>"],
    ['<image href="data:image/png;base64,AAAA"/>', "<image></image>"],
    [
      '<use href="other.svg#a"/><g id="b"/><use xlink:href="#b" href="#b"/>',
      '<use></use><g id="b"></g><use href="#b"></use>',
    ],
    ['<a href="javascript:alert(1)"><circle r="2"/></a>', '<circle r="2"></circle>'],
    [
      '<rect fill="url(https://a.example/x)"/><rect fill="url(#g)"/>',
      '<rect></rect><rect fill="url(#g)"></rect>',
    ],
    ['<rect style="background:url(//a.example)"/>', "<rect></rect>"],
    ['<rect style="fill:\\75rl(x)"/><rect style="fill:image-set(\'x\')"/>', "<rect></rect><rect></rect>"],
    [
      "<style>@import 'x'; .a{fill:red}</style><style>.a &gt; b{fill:red}</style>",
      "<style></style><style>.a &#62; b{fill:red}</style>",
    ],
    ['<animate attributeName="href" to="javascript:x"/><set attributeName="onload" to="x"/>', ""],
    ['<e:frame xmlns:e="urn:editor"><rect/></e:frame><rect e:id="1" xmlns:e="urn:editor"/>', "<rect></rect>"],
    ["<!-- c --><?php x ?><metadata>m</metadata><title>A &amp; B</title>", "<title>A &#38; B</title>"],
    ["<text x='1'>5 &lt; 6<![CDATA[<script>]]></text>", '<text x="1">5 &#60; 6&#60;script&#62;</text>'],
  ])("%s", (dirty, clean) => {
    expect(inside(dirty)).toBe(clean)
  })

  test("a photo in it stays if it is one", () => {
    const href = `data:image/png;base64,${btoa(String.fromCharCode(...PNG))}`
    expect(inside(`<image href="${href}"/>`)).toBe(`<image href="${href}"></image>`)
  })

  test("cleaned once more it is the same, and the same drawing gives the same bytes", () => {
    const { text, removed } = cleanSvg(SVG)
    expect(removed).toEqual([])
    expect(cleanSvg(text).text).toBe(text)
    const [one, other] = [SVG, `<?xml version="1.0"?>\n<!-- by hand -->${SVG}\n`].map((each) =>
      checkPicture(bytesOf(each)),
    )
    expect(one).toEqual(other)
  })

  const folds = (n: number) =>
    Array.from(
      { length: n },
      (_, i) => `<g id="a${i + 1}"><use href="#a${i}"/><use href="#a${i}"/></g>`,
    ).join("")

  test.each([
    ["<svg", "isn't well-formed XML"],
    [svg("<g>"), "isn't well-formed XML"],
    [`<!DOCTYPE svg [<!ENTITY a "b">]>${svg("<text>&a;</text>")}`, "isn't well-formed XML"],
    ["<svg><rect/></svg>", "has no `xmlns="],
    [svg("<g>".repeat(200) + "</g>".repeat(200)), "nests elements deeper than 100"],
    [svg(`<rect id="a0"/>${folds(24)}<use href="#a24"/>`), "draws too many shapes"],
    [
      svg(`<rect id="a0"/>${folds(600).replaceAll(/(<use[^>]*>)\1/g, "$1")}<use href="#a600"/>`),
      "draws too many shapes",
    ],
  ])("refused: %#", (text, why) => {
    const checked = checkPicture(bytesOf(text))
    expect("code" in checked && checked.code).toBe("bad-picture")
    expect("why" in checked && checked.why).toContain(why)
  })

  test("what refers to itself is drawn once, and its size is that of its own lines", () => {
    expect(cleanSvg(svg('<g id="a"><use href="#a"/></g>')).text).toContain('<use href="#a">')
    expect(cleanSvg(svg("", 'width="12.4px" height="30" viewBox="0 0 1 1"'))).toMatchObject({
      width: 12,
      height: 30,
    })
    expect(cleanSvg(svg("", 'width="100%" viewBox="0,0 50,60"'))).toMatchObject({ width: 50, height: 60 })
    expect(cleanSvg(svg("", ""))).not.toHaveProperty("width")
  })
})
