import type { EndingTree, Finding, NameWithOutcome, OutcomeTree, Standing } from "../syntax-tree.ts"
import { argumentRule } from "./argument-rule.ts"
import { promote, wordRule } from "./contextual-rules.ts"
import type { SharedRules } from "./shared-rules.ts"
import type { Rule, TokenParser } from "./token-parser.ts"

/** What the steps of a scenario say. */
export function scenarioArguments($: TokenParser, shared: SharedRules) {
  const { names, quantities } = shared
  const seen = wordRule($, "seen", ["gone", "stays"])
  const passed = wordRule($, "passed", ["holds", "fails"])
  const bound = boundRule($, shared)

  const finding = argumentRule($, "finding", (keep) => {
    const { start } = $.next
    const reading = $.use(names.name)
    $.word("is")
    const found = $.choose<Pick<Finding, "value" | "number">>({
      ERR_MSG: "value",
      DEF: [
        { ALT: () => ({ value: $.use(names.value) }) },
        { ALT: () => ({ number: $.use(quantities.quantity) }) },
      ],
    })
    keep({ reading, ...found, span: $.spanFrom(start) } satisfies Finding)
  })

  const nameWithOutcome = argumentRule($, "nameWithOutcome", (keep) => {
    const { start } = $.next
    const name = $.use(names.name)
    const outcome = $.use(seen)
    keep({ name, outcome, span: $.spanFrom(start) } satisfies NameWithOutcome)
  })

  const outcome = argumentRule($, "outcome", (keep, start) => {
    keep({ outcome: $.use(seen), span: $.spanFrom(start) } satisfies OutcomeTree)
  })

  const ending = argumentRule($, "ending", (keep, start) => {
    keep({ ending: $.use(passed), span: $.spanFrom(start) } satisfies EndingTree)
  })

  const standing = argumentRule($, "standing", (keep) => {
    const { start } = $.next
    const fault = $.use(names.name)
    const is = $.use(bound)
    keep({ fault, ...is, span: $.spanFrom(start) } satisfies Standing)
  })

  return { finding, nameWithOutcome, outcome, ending, standing }
}

function boundRule($: TokenParser, { quantities }: SharedRules): Rule<Pick<Standing, "is" | "chance">> {
  const limit = $.rule("limit", (): "at least" | "at most" => {
    $.word("at")
    const { key } = $.choose([{ ALT: () => $.word("least") }, { ALT: () => $.word("most") }])
    return key === "most" ? "at most" : "at least"
  })
  return $.rule("bound", (): Pick<Standing, "is" | "chance"> => {
    $.act(() => promote($, ["ruled"]))
    return $.choose<Pick<Standing, "is" | "chance">>({
      ERR_MSG: "bound",
      DEF: [
        {
          ALT: () => {
            $.word("ruled")
            $.word("out")
            return { is: "ruled out" }
          },
        },
        { ALT: () => ({ is: $.use(limit), chance: $.use(quantities.percent) }) },
      ],
    })
  })
}
