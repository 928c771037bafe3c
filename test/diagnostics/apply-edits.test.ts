import fc from "fast-check"
import { describe, expect, test } from "vitest"
import { applyChanges, applyToFiles, safeEdits } from "../../compiler/diagnostics/apply-edits.ts"
import { type Change, diagnostic, type Edit } from "../../compiler/diagnostics/diagnostic.ts"

const change = (start: number, end: number, text: string, file = "a"): Change => ({
  span: { file, start, end },
  text,
})

describe("changes of a text", () => {
  test("are made wherever they stand in the list, insertions at one place in its order", () => {
    expect(
      applyChanges("abcdef", [change(4, 5, "E"), change(0, 0, "1"), change(0, 0, "2"), change(2, 4, "")]),
    ).toBe("12abEf")
  })

  test.each([
    { ends: "LF", text: "one\n  two  \nthree\n" },
    { ends: "CR LF", text: "one\r\n  two  \r\nthree\r\n" },
    { ends: "a lone CR", text: "one\r  two  \rthree\r" },
  ])("a removal takes the line that it leaves empty: $ends", ({ text }) => {
    const at = text.indexOf("two")
    expect(applyChanges(text, [change(at, at + 3, "")])).toBe(text.replace(/ {2}two {2}[\r\n]+/, ""))
  })

  test("a line with anything else on it stays, and so does one that gets another text", () => {
    expect(applyChanges("a\nb # why\nc\n", [change(2, 3, "")])).toBe("a\n # why\nc\n")
    expect(applyChanges("a\nb\nc\n", [change(2, 2, "x"), change(2, 3, "")])).toBe("a\nx\nc\n")
    expect(applyChanges("a\nb", [change(2, 3, "")])).toBe("a\n")
  })

  test("replacing stretches is the same as joining the pieces between them", () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(
            fc.stringMatching(/^[a-z\n\r]*$/),
            fc.string({ minLength: 1 }),
            fc.string({ minLength: 1 }),
          ),
        ),
        (pieces) => {
          let text = ""
          const changes: Change[] = []
          for (const [kept, old, fresh] of pieces) {
            text += kept
            changes.push(change(text.length, text.length + old.length, fresh))
            text += old
          }
          const wanted = pieces.map(([kept, , fresh]) => kept + fresh).join("")
          expect(applyChanges(text, changes.toReversed())).toBe(wanted)
        },
      ),
    )
  })

  test("only files that are there are changed", () => {
    const sources = new Map([
      ["a", "one"],
      ["b", "two"],
    ])
    const changes = [change(0, 1, "O"), change(0, 1, "X", "nowhere")]
    expect(applyToFiles(changes, sources)).toEqual(new Map([["a", "One"]]))
  })
})

describe("safe edits", () => {
  const edit = (title: string, safe: boolean, ...changes: Change[]): Edit => ({ title, safe, changes })
  const problem = (...edits: Edit[]) =>
    diagnostic("warning", "x", { file: "a", start: 0, end: 0 }, "", { edits })

  test("each problem gives its first safe one; one that touches an earlier one is left out whole", () => {
    const first = edit("first", true, change(0, 2, ""))
    const both = edit("both", true, change(2, 3, ""), change(8, 9, ""))
    const apart = edit("apart", true, change(8, 9, "x"))
    const chosen = safeEdits([
      problem(edit("unsafe", false, change(5, 6, "")), first),
      problem(both),
      problem(apart),
      problem(edit("elsewhere", true, change(0, 2, "", "b"))),
      problem(),
    ])
    expect(chosen.map(({ edit }) => edit.title)).toEqual(["first", "apart", "elsewhere"])
  })
})
