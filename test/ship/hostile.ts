import fc from "fast-check"
import type { Graph } from "../../compiler/run/graph.ts"

/** Texts that mean something in at least one of the formats that we write, or to what reads them. */
const nasty = [
  "</script><script>alert(1)</script>",
  "</title><img src=x onerror=alert(1)>",
  "<!--",
  "]]>",
  "--> <b>",
  "</text></svg><script>alert(1)</script>",
  "</desc><foreignObject>",
  '" onload="alert(1)',
  "' onclick='alert(1)",
  "</text></inputEntry><rule>",
  "&lt;b&gt; &amp; &#60; &quot;",
  "&nosuch;",
  "`code` **bold** _em_ ~~gone~~",
  "[link](javascript:alert(1)) ![x](http://a.example/x.png)",
  "<http://a.example/> https://a.example www.a.example a@b.example",
  "| a | b |\n| --- | --- |",
  "# heading\n\n- [ ] list\n1. one\n> quote\n\n```\ncode",
  "---",
  "- item",
  "1) one",
  "===",
  ":smile: $x^2$ $$y$$",
  '"]; evil [label="x", URL="javascript:alert(1)"]; n0 -> evil; "',
  "\\",
  "ends in \\",
  '\\"',
  "\\N \\G \\E \\T \\n \\l",
  "<<b>html</b>>",
  "%%{init: {'securityLevel': 'loose'}}%%",
  'x"] --> evil["y',
  "click n0 call alert(1)",
  'end"\nn9["z"]\nsubgraph s',
  "#quot; #35; #lt;script#gt;",
  "style n0 fill:#f00; classDef a:#b;",
  "*/ alert(1) /*",
  "\u2028alert(1)\u2029",
  "\nimport x from 'y'",
  // biome-ignore lint/suspicious/noTemplateCurlyInString: it is the text that matters
  "${alert(1)} `",
  "RULEOUT_GRAPH $& $` $'",
  "\u0000\u0001\u001b[31m\u007f\u0085",
  "\ud800 \udfff \ufffe \uffff",
  "\u202egnp.exe\u2069",
  "__proto__",
  "constructor",
  "toString",
  "hasOwnProperty",
  "",
  " ",
  "a\r\nb\tc",
  "🖨️ 漢字 العربية",
  "x".repeat(3000),
]

export const hostileText: fc.Arbitrary<string> = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom(...nasty) },
  {
    weight: 2,
    arbitrary: fc.array(fc.constantFrom(...nasty), { minLength: 2, maxLength: 4 }).map((all) => all.join("")),
  },
  { weight: 1, arbitrary: fc.string({ unit: "binary", maxLength: 20 }) },
)

/** Words of the format; all else in a graph is a stranger's to choose. */
const fixed = new Set(["format", "kind", "do", "power", "cells", "on", "verb", "source"])

/** Texts for the places of a graph; more than one round, so that the same one meets different neighbours. */
export const strangersTexts = fc.array(hostileText, { minLength: 23, maxLength: 23 })

/** The graph with every text in it one of these, in turn: names, labels, questions, values, units, all. */
export function withTexts(graph: Graph, texts: readonly string[]): Graph {
  let n = 0
  const replaced = (value: unknown, key: string): unknown => {
    if (typeof value === "string") return fixed.has(key) ? value : texts[n++ % texts.length]
    if (Array.isArray(value)) {
      // A condition's first word is the format's.
      if (typeof value[0] === "string" && /^(in|and|or|not)$/.test(value[0])) return value
      return value.map((item) => replaced(item, typeof item === "string" ? key : "item"))
    }
    if (typeof value !== "object" || value === null) return value
    return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, replaced(inner, name)]))
  }
  return replaced(graph, "") as Graph
}
