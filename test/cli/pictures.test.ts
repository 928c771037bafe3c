import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync } from "node:fs"
import { join } from "node:path"
import { beforeAll, describe, expect, test } from "vitest"
import { makeService } from "../../compiler/cli/serve/app.ts"
import { ServedGraphs } from "../../compiler/cli/serve/served-graphs.ts"
import { PNG, SVG } from "../support/pictures.ts"
import { openFolder, ruleout, said } from "./run.ts"

const { at, read, put } = openFolder()

/** The lamp driver of the other tests, with a picture at the part, at its seat and at a caution. */
const LAMP = `ruleset lamp "Lamp driver: dead"
  money EUR
  bench 60 per hour
part board "driver board" price 100 spare
  picture "images/board.png" "the board, its plug to the left"
setup seat "board seating" of board
  picture "images/seat.svg" "both clips closed"
complaint dead "the lamp stays dark"
fault board_dead "board failed" in board odds 1
fault seat_loose "board not home" in seat odds 1
test reseat "Push the board home" redoes seat takes 2 min
  caution "Charged capacitor." picture "images/board.png" "the capacitor, marked red"
test try_board "Fit the known-good board" swaps board takes 10 min
proof "Start it cold" times 2 takes 1 min
`

const inFolder = () => readdirSync(at("pictures")).sort()

beforeAll(async () => {
  mkdirSync(at("images"))
  put("images/board.png", PNG)
  put("images/seat.svg", SVG)
  put("lamp.ruleout", LAMP)
  const { exit, err } = await said(["compile", "lamp.ruleout"])
  expect({ exit, err }).toEqual({ exit: 0, err: "" })
})

describe("beside the graph", () => {
  test("pictures are files by their digests; what is there already is left alone, and what isn't the same is not touched", async () => {
    const files = inFolder()
    expect(files.map((name) => name.replace(/^[0-9a-f]{64}/, "…"))).toEqual(
      expect.arrayContaining(["….png", "….svg"]),
    )
    const png = at(`pictures/${files.find((name) => name.endsWith(".png"))}`)
    expect(new Uint8Array(readFileSync(png))).toEqual(PNG)
    expect((await said(["compile", "lamp.ruleout"])).exit).toBe(0)
    expect(inFolder()).toEqual(files)
    put(png.slice(at("").length), "mine")
    const { exit, err } = await said(["compile", "lamp.ruleout"])
    expect(exit).toBe(2)
    expect(err).toMatch(
      /\.png` exists already, and isn't the picture whose digest it is called by\.\n {2}help: Move/,
    )
    expect(readFileSync(png, "utf8")).toBe("mine")
    rmSync(png)
    expect((await said(["compile", "lamp.ruleout"])).exit).toBe(0)
  })

  test("what goes to standard output says that it goes without them", async () => {
    const { exit, out, err } = await said(["compile", "lamp.ruleout", "--out", "-"])
    expect(exit).toBe(0)
    expect(out).toBe(read("lamp.graph.json"))
    expect(err).toContain("2 pictures aren't in what is written: name a file with --out")
  })

  test("a seal covers them: one that was changed, or that is gone, is refused", async () => {
    await said(["ship", "lamp.graph.json", "--sign", "--out", "sealed.graph.json"])
    expect((await said(["verify", "sealed.graph.json"])).exit).toBe(0)
    const svg = `pictures/${inFolder().find((name) => name.endsWith(".svg"))}`
    const clean = read(svg)
    put(svg, clean.replace("red", "rot"))
    const changed = await said(["verify", "sealed.graph.json"])
    expect(changed.exit).toBe(1)
    expect(changed.out).toContain("isn't the picture that the graph names: it was changed, or is damaged.")
    rmSync(at(svg))
    expect((await said(["verify", "sealed.graph.json"])).out).toContain("There is no file")
    expect((await said(["ship", "sealed.graph.json", "--to", "page", "--out", "p.html"])).exit).toBe(2)
    expect(existsSync(at("p.html"))).toBe(false)
    put(svg, clean)
  })

  test("a graph that names a file elsewhere in the place of a digest gets none", async () => {
    const graph = JSON.parse(read("lamp.graph.json"))
    graph.pictures[0].digest = "sha256:../../lamp"
    put("bad.graph.json", JSON.stringify(graph))
    const { exit, err } = await said(["ship", "bad.graph.json", "--to", "markdown", "--out", "bad.md"])
    expect(exit).toBe(2)
    expect(err).toContain("The graph has a picture without a digest or a type: compile the ruleset again.")
  })

  test("a picture of a ruleset that is a link out of its folder is refused, as a text is", async () => {
    mkdirSync(at("shop"))
    symlinkSync(at("images/board.png"), at("shop/board.png"))
    put(
      "shop/lamp.ruleout",
      LAMP.replaceAll("images/board.png", "board.png").replace(/ {2}picture "images\/seat.*\n/, ""),
    )
    const { exit, err } = await said(["check", "shop/lamp.ruleout"])
    expect(exit).toBe(2)
    expect(err).toContain("is a link that leads out of the folder of")
  })
})

describe("what is shipped", () => {
  test("a page carries them, and lets the browser load nothing else; without pictures it is as it was", async () => {
    await said(["ship", "lamp.graph.json", "--to", "page", "--out", "lamp.html"])
    const page = read("lamp.html")
    expect(page).toContain("img-src data:;")
    const [, block] = /id="pictures">([^<]*)</.exec(page)!
    const addresses = Object.values(JSON.parse(block!)) as string[]
    expect(addresses.map((address) => address.slice(0, address.indexOf(",")))).toEqual([
      "data:image/png;base64",
      "data:image/svg+xml;base64",
    ])
    expect(addresses[0]).toBe(`data:image/png;base64,${Buffer.from(PNG).toString("base64")}`)
    await said(["ship", "seat.ruleout", "--to", "page", "--out", "seat.html"])
    expect(read("seat.html")).not.toMatch(/img-src|id="pictures"/)
    const fromRuleset = await said(["ship", "lamp.ruleout", "--to", "page", "--out", "-"])
    expect(fromRuleset.out).toBe(page)
  })

  test("a bench card shows them from the folder beside it", async () => {
    mkdirSync(at("card"))
    expect((await said(["ship", "lamp.graph.json", "--to", "markdown", "--out", "card/lamp.md"])).exit).toBe(
      0,
    )
    const shown = [...read("card/lamp.md").matchAll(/!\[(.*?)\]\((.*?)\)/g)].map(([, text, path]) => [
      text,
      existsSync(at(join("card", path!))),
    ])
    expect(shown).toContainEqual(["both clips closed", true])
    expect(shown).toContainEqual(["the capacitor, marked red", true])
    expect(read("card/lamp.md")).toMatch(/> \*\*Caution:\*\* Charged capacitor\.\n>\n> !\[the capacitor/)
  })

  test("the terminal says what a picture shows, and where its file is", () => {
    const ofRuleset = ruleout(["bench", "lamp.ruleout"], "stop\n").out
    expect(ofRuleset).toContain(
      "  Caution: Charged capacitor.\n    Picture: the capacitor, marked red (images/board.png)\n",
    )
    expect(ofRuleset).toContain("\n  Picture: both clips closed (images/seat.svg)\n")
    expect(ruleout(["bench", "lamp.graph.json"], "stop\n").out).toMatch(
      /Picture: both clips closed \(pictures\/[0-9a-f]{64}\.svg\)/,
    )
  })

  test("the service has them by their digests, and says at which step each is shown", async () => {
    const graphs = await ServedGraphs.open([at("lamp.graph.json")], {})
    const { app } = await makeService(graphs, {
      largestBody: 65_536,
      rate: 0,
      log: "silent",
      logTo: process.stderr,
    })
    const { pictures } = (await app.inject({ method: "POST", url: "/graphs/lamp/next", payload: {} })).json()
    expect(pictures).toMatchObject([
      { text: "both clips closed", type: "image/svg+xml", width: 40, height: 20 },
      { text: "the capacitor, marked red", caution: "Charged capacitor." },
    ])
    const { statusCode, headers, rawPayload } = await app.inject({ url: pictures[1].address })
    expect(statusCode).toBe(200)
    expect(new Uint8Array(rawPayload)).toEqual(PNG)
    expect(headers).toMatchObject({ "content-type": "image/png", "x-content-type-options": "nosniff" })
    expect(headers["cache-control"]).toContain("immutable")
    expect(headers["content-security-policy"]).toContain("sandbox")
    const missing = await app.inject({ url: "/graphs/lamp/pictures/sha256:00" })
    expect([missing.statusCode, missing.json().type]).toEqual([404, "urn:ruleout:problem:no-such-picture"])
    expect(missing.headers["cache-control"]).toBe("no-store")
    await app.close()
  })
})
