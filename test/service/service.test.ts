import { describe, expect, test } from "vitest"
import { declarations } from "../../compiler/service/completion-grammar.ts"
import { unfinishedAt } from "../../compiler/service/declaration-at.ts"
import { highlight } from "../../compiler/service/highlight.ts"
import { makeService } from "../../compiler/service/index.ts"
import { unitsLike } from "../../compiler/service/units.ts"
import { DECLARATIONS } from "../../compiler/syntax/language/statements.ts"
import { tokenize } from "../../compiler/syntax/lexer/lexer.ts"

const root = `ruleset kiosk "Ticket kiosk"
part  panel  "display panel" price 210 spare
part  driver "panel driver board" price 95 spare behind cover
part  frame  "frame" price 20
setup ribbon "panel ribbon seating" of panel redo cures 85%
setup cover  "rear cover and its switch" redo cures 40%
complaint dark "the screen stays dark"
fault panel_dead "panel failed" in panel odds 3
fault driver_dead "driver failed" in driver odds 4
  shows glow is no
fault ribbon_loose "ribbon not home" in ribbon odds 9
  shows dark 70%
use "meters.ruleout"
test try_driver "Fit the known-good driver" swaps driver takes 12 min
test reseat "Reseat both ends" redoes ribbon takes 6 min tries 3
when glow is yes rule out driver_dead
`
const meters = `reading glow "Any glow?" yes or no
  normally is yes 98%
reading state "How does it look?" one of dark_grey, black, lit
reading rail "Rail at the plug" in V from 0 to 30 by 0.01
test look "Look" reads glow, state takes 1 min
test meter "Meter the rail" reads rail takes 4 min
`

/** A service on the two files, with `¦` in the text as the caret. */
function at(text: string, file = "kiosk.ruleout") {
  const offset = text.indexOf("¦")
  const service = makeService()
  const files = { "kiosk.ruleout": root, "meters.ruleout": meters, [file]: text.replace("¦", "") }
  service.set(files, "kiosk.ruleout", ["images/probe.svg"])
  return { service, file, offset, files }
}

function labels(text: string): string[] {
  const { service, file, offset } = at(text)
  return [...service.complete(file, offset)]
    .sort((a, b) => a.rank - b.rank || (a.label < b.label ? -1 : 1))
    .map((each) => each.label)
}

describe("completion offers what may come at the caret", () => {
  test.each([
    [
      "names of parts after `swaps`, those at hand first",
      'test x "do" swaps ¦',
      ["driver", "panel", "frame"],
    ],
    ["setups and no parts after `redoes`", 'test x "do" redoes ¦', ["cover", "ribbon"]],
    ["places after `in`", 'fault f "x" in ¦', ["cover", "driver", "frame", "panel", "ribbon"]],
    ["readings of another file after `reads`", 'test x "do" reads ¦', ["glow", "rail", "state"]],
    ["the next reading after a comma", 'test x "do" reads glow, ¦', ["glow", "rail", "state"]],
    ["tests after `after`", 'test x "do" reads glow after ¦', ["look", "meter", "reseat", "try_driver"]],
    ["readings where a condition begins", "when ¦", ["glow", "rail", "state", "not"]],
    ["what a choice is compared by", "when glow ¦", ["is", "is not", "is one of"]],
    ["the values of the reading at hand", "when state is ¦", ["black", "dark_grey", "lit"]],
    ["yes and no", "never glow is ¦", ["no", "yes"]],
    [
      "faults after `rule out`",
      "when glow is yes rule out ¦",
      ["driver_dead", "panel_dead", "ribbon_loose", "any in"],
    ],
    [
      "places after `any in`",
      "when glow is yes leaves only any in ¦",
      ["cover", "driver", "frame", "panel", "ribbon"],
    ],
  ])("%s", (_, line, expected) => {
    expect(labels(`${root}${line}\n`).slice(0, expected.length)).toEqual(expected)
  })

  test("units of the dimension of the reading at hand, its own first", () => {
    expect(labels(`${root}when rail below 9 ¦`)[0]).toBe("V")
    expect(labels(`${root}when rail below 9 ¦`)).toContain("mV")
    expect(labels(`${root}when rail below 9 ¦`)).not.toContain("A")
  })

  test("one kind of test, and no second one", () => {
    expect(labels(`${root}test x "do" ¦`)).toEqual(
      expect.arrayContaining(["reads", "swaps", "redoes", "takes"]),
    )
    const after = labels(`${root}test x "do" reads glow ¦`)
    expect(after).toContain("takes")
    for (const kind of ["swaps", "redoes", "removes"]) expect(after).not.toContain(kind)
    expect(labels(`${root}test x "do" swaps driver ¦`)).toContain("redoes")
    expect(labels(`${root}test x "do" removes driver ¦`)).not.toContain("redoes")
  })

  test("a clause that stands once is not offered again, one that repeats is", () => {
    const after = labels(`${root}test x "do" reads glow takes 4 min caution "hot" ¦`)
    expect(after).not.toContain("takes")
    expect(after).toContain("caution")
  })

  test("declarations at the beginning of a line, but no second ruleset or complaint", () => {
    const offered = labels(`${root}¦`)
    expect(offered).toEqual(expect.arrayContaining(["part", "fault", "when", "never", "proof"]))
    expect(offered).not.toContain("ruleset")
    expect(offered).not.toContain("complaint")
  })

  test("an empty text begins with its ruleset; where a line isn't indented, declarations win over clauses", () => {
    const service = makeService()
    service.set({ "a.ruleout": "" }, "a.ruleout")
    expect(service.complete("a.ruleout", 0)[0]?.label).toBe("ruleset")
    const typed = (text: string) => labels(`${root}${text}`)
    const declared = ["reading", "setup", "part", "fault", "test", "when", "proof", "scenario"]
    for (const word of declared) {
      const offered = typed(`test x "do" reads glow\n${word.slice(0, 2)}¦`)
      expect(offered.indexOf(word)).toBeLessThan(offered.indexOf("takes"))
    }
    const indented = typed('test x "do" reads glow\n  t¦')
    expect(indented.indexOf("takes")).toBeLessThan(indented.indexOf("test"))
  })

  test("nothing inside a comment or a text, and files inside the path of a `use` or a `picture`", () => {
    expect(labels(`${root}# the ¦`)).toEqual([])
    expect(labels(`${root}part x "the ¦`)).toEqual([])
    expect(labels(`${root}use "¦`)).toEqual(["meters.ruleout"])
    expect(labels(`${root}test x "x" reads glow picture "¦`)).toEqual(["images/probe.svg"])
    expect(labels(`${root}test x "x" reads glow picture "images/probe.svg" "¦`)).toEqual([])
  })

  test("a half-typed word is replaced as a whole", () => {
    const { service, file, offset } = at(`${root}when glow is ye¦s rule out panel_dead`)
    const [yes] = service.complete(file, offset).filter((each) => each.label === "yes")
    expect(yes?.span).toEqual({ file, start: offset - 2, end: offset + 1 })
  })

  test("a declaration broken further up does not silence what comes after", () => {
    expect(labels(`${root}test x "do" takes min reads ¦`)).toContain("glow")
  })
})

test("the grammar of completion takes every example of the language", () => {
  for (const spec of DECLARATIONS) {
    for (const clause of spec.clauses) {
      const text = `${spec.example} ${clause.example}`
      const { tokens } = tokenize("", text)
      const list = tokens.filter((token) => token.kind !== "end")
      const ends = declarations.get(spec.keyword)!.pattern(list, 0, () => {})
      expect(ends, text).toContain(list.length)
    }
  }
})

describe("names", () => {
  test("definition and references go across files", () => {
    const { service, file, offset, files } = at(root.replace("when glow", "when gl¦ow"))
    const found = service.definition(file, offset)!
    expect(files["meters.ruleout"]!.slice(found.start, found.end)).toBe("glow")
    expect(found.file).toBe("meters.ruleout")
    const all = service.references(file, offset)
    expect(all.map((span) => span.file)).toEqual([
      "meters.ruleout",
      "kiosk.ruleout",
      "kiosk.ruleout",
      "meters.ruleout",
    ])
    expect(all[0]).toEqual(found)
  })

  test("a rename changes every use in every file and nothing else", () => {
    const { service, file, offset, files } = at(root.replace("when glow", "when gl¦ow"))
    const renaming = service.rename(file, offset, "backlight")
    if ("refused" in renaming) throw new Error(renaming.refused)
    expect(renaming.changes).toHaveLength(4)
    const after = Object.fromEntries(
      Object.entries(files).map(([path, text]) => {
        const own = renaming.changes.filter(({ span }) => span.file === path)
        const put = [...own].sort((a, b) => b.span.start - a.span.start)
        return [
          path,
          put.reduce((so, { span, text: name }) => so.slice(0, span.start) + name + so.slice(span.end), text),
        ]
      }),
    )
    expect(after["meters.ruleout"]).toBe(
      meters.replaceAll("glow", "backlight").replace("Any backlight?", "Any glow?"),
    )
    service.set(after, "kiosk.ruleout")
    expect(service.diagnostics()).toEqual([])
  })

  test.each([
    [
      "Panel",
      "`Panel` isn't a name. A name has lower-case letters, digits and `_`, and starts with a letter.",
    ],
    ["reads", "`reads` is a keyword. Choose another name."],
    ["panel", "`panel` is already declared. Every name must be unique."],
  ])("a rename to %s is refused with the reason", (name, refused) => {
    const { service, file, offset } = at(root.replace("when glow", "when gl¦ow"))
    expect(service.rename(file, offset, name)).toEqual({ refused })
  })
})

test.each([
  ["try_driver", "swa¦ps", "`swaps` is a word of the language. Only names that you declared can be renamed."],
  ["a label", '"Ticket ki¦osk"', "This is a text. Change it where it stands."],
  ["a number", "price 21¦0", "This is a number. Change it where it stands."],
  ["a unit", "takes 12 m¦in", "`min` isn't declared. Values and units are changed where they stand."],
  [
    "what isn't declared",
    "redoes ribb¦on_x",
    "`ribbon_x` isn't declared. Values and units are changed where they stand.",
  ],
  ["a space", "part ¦ panel", "There is no name here. Put the cursor on a name that you declared."],
])("what isn't a name isn't renamed, and it is said why: %s", (_, there, refused) => {
  const plain = there.replace("¦", "")
  const { service, file, offset } = at(
    root.replace("redoes ribbon ", "redoes ribbon_x ").replace(plain, there),
  )
  expect(service.renamed(file, offset)).toEqual({ refused })
})

test("a declaration is being written where nothing follows the caret in it and no empty line lies between", () => {
  const span = (marked: string) => {
    const text = marked.replace("¦", "")
    const found = unfinishedAt(text, marked.indexOf("¦"))
    return found && text.slice(found.start, found.end)
  }
  const [first, second] = ['part a "a" price 3\n', 'fault b "b"\n  in a odds 2\n']
  expect(span(`${first}fault b¦`)).toBe("fault b")
  expect(span(`${first}fault b "b"\n  in ¦\n${second}`)).toBe('fault b "b"\n  in \n')
  expect(span(`${first}fault b "b"\n¦`)).toBe('fault b "b"\n')
  expect(span(`${first}fa¦\n\n# next\n${second}`)).toBe(`${first}fa\n\n# next\n`)
  expect(span(`${first}fault b "b"\n\n¦`)).toBeUndefined()
  expect(span(`${first}fault ¦b "b"\n`)).toBeUndefined()
})

describe("hover", () => {
  const hover = (from: string, to: string) => {
    const { service, file, offset } = at(root.replace(from, to))
    return service.hover(file, offset)
  }
  test("a swap says what it redoes beyond what is written, and why", () => {
    const found = hover("test try_driver", "test try_¦driver")
    expect(found?.title).toBe("Fit the known-good driver")
    expect(found?.lines.join("\n")).toContain(
      "Also redoes `cover`, because `driver` is `behind` it; that cures a fault there 40 % of the time.",
    )
  })

  test("a fault says its chance and what it shows", () => {
    expect(hover("rule out driver_dead", "rule out driver_¦dead")?.lines).toEqual([
      "Fault in `driver`, 25 % of jobs before any finding (odds 4).",
      "Shows `glow` is no, 100 %.",
      "Ruled out by one rule: the rule on line 16.",
    ])
  })

  test("cells side by side are one range", () => {
    const shows = "  shows glow is no\n  shows rail between 4 and 12 V 90%\n"
    const { service, file, offset } = at(
      root
        .replace("  shows glow is no\n", shows)
        .replace("rule out driver_dead", "and rail above 9 V rule out driver_¦dead"),
    )
    expect(service.hover(file, offset)?.lines).toContain("Shows `rail` between 4 and 12 V, 90 %.")
  })

  /* By hand: odds 3, 4, 9; glow yes has chance 0.98 on a healthy machine, 0 with driver_dead. 3/12 and 9/12 are left. */
  test("a rule says the chances before and after", () => {
    expect(hover("when glow", "w¦hen glow")?.lines).toEqual([
      "Rules out `driver_dead`.",
      "With these findings alone: `ribbon_loose` 56.3 % → 75 % and `panel_dead` 18.8 % → 25 %.",
    ])
  })

  test("a word of the language says its form", () => {
    expect(hover("swaps driver", "sw¦aps driver")?.title).toBe("swaps PART, …")
  })

  test("while the text is broken the last whole model still answers", () => {
    const { service, file } = at(root.replace("when glow", "when gl¦ow"))
    service.diagnostics()
    service.hover(file, root.indexOf("panel_dead"))
    service.change(file, `${root}\npart`)
    expect(service.diagnostics().length).toBeGreaterThan(0)
    expect(service.hover(file, root.indexOf("panel_dead"))?.title).toBe("panel failed")
  })
})

test("the outline lists declarations by name and label, folds cover what goes over several lines", () => {
  const { service } = at("¦")
  service.set({ "kiosk.ruleout": root, "meters.ruleout": meters }, "kiosk.ruleout")
  expect(service.outline("meters.ruleout").map(({ kind, name, detail }) => [kind, name, detail])).toEqual([
    ["reading", "glow", "Any glow?"],
    ["reading", "state", "How does it look?"],
    ["reading", "rail", "Rail at the plug"],
    ["test", "look", "Look"],
    ["test", "meter", "Meter the rail"],
  ])
  expect(service.folding("meters.ruleout")).toEqual([{ first: 0, last: 1, comment: false }])
})

test("formatting leaves a broken text alone and brings a whole one into form", () => {
  const service = makeService()
  service.set({ "a.ruleout": 'part   a "x"    price 3\npart bb "y" price 4\n' }, "a.ruleout")
  const changes = service.format("a.ruleout")
  expect(changes).toHaveLength(1)
  service.change("a.ruleout", 'part   a "x   price 3\n')
  expect(service.format("a.ruleout")).toEqual([])
})

test("a line is coloured by the compiler's own lexer", () => {
  const line = 'test look "Look" reads glow takes 4 min # quick'
  expect(highlight(line).map(({ start, end, look }) => [line.slice(start, end), look])).toEqual([
    ["test", "declaration"],
    ["look", "new-name"],
    ['"Look"', "text"],
    ["reads", "keyword"],
    ["glow", "name"],
    ["takes", "keyword"],
    ["4", "number"],
    ["min", "unit"],
    ["# quick", "comment"],
  ])
})

test("units offered for a reading convert to it and give handy numbers", () => {
  expect(unitsLike("V", 30)).toEqual(["V", "mV"])
  expect(unitsLike("ohm", 2e6)).toEqual(["ohm", "kohm", "Mohm"])
  expect(unitsLike("degC", 120)).toEqual(["degC", "°C", "K", "degF"])
  expect(unitsLike("mm", 30)).toEqual(["mm", "cm", "µm", "inch", "mil"])
  expect(unitsLike("barg", 10)).toEqual(["barg", "kPag", "MPag", "mbarg", "psig"])
  expect(unitsLike("count", 10)).toEqual(["count"])
  expect(unitsLike("rpm", 3000)).toEqual(["rpm"])
})
