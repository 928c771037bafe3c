import { lookUp } from "../../run/lookup.ts"
import type { ArgumentShape } from "../language/arguments.ts"
import * as T from "../lexer/token-types.ts"
import type {
  CautionTree,
  Name,
  NameWithChance,
  PictureTree,
  PowerClause,
  Quantity,
  ReadingCondition,
  ShowsClause,
  Text,
  TypeTree,
} from "../syntax-tree.ts"
import { type ArgumentRule, argumentRule } from "./argument-rule.ts"
import { correctTerm } from "./conditions.ts"
import { expressionArguments } from "./expressions.ts"
import { listGoesOn } from "./names.ts"
import { atRange, correctBetween } from "./ranges.ts"
import { scenarioArguments } from "./scenario-arguments.ts"
import type { SharedRules } from "./shared-rules.ts"
import { become, GIVE_UP, type Rule, type TokenParser } from "./token-parser.ts"
import { translationArguments } from "./translation-arguments.ts"

/** A rule for each shape that an argument can have. The faults of a rule are read in their own place. */
export function argumentRules(
  $: TokenParser,
  shared: SharedRules,
): Record<Exclude<ArgumentShape, "faults">, ArgumentRule> {
  return {
    ...plainArguments($, shared),
    ...pictureArguments($, shared),
    ...nameArguments($, shared),
    ...typeArguments($, shared),
    ...conditionArguments($, shared),
    ...scenarioArguments($, shared),
    ...expressionArguments($, shared),
    ...translationArguments($, shared),
  }
}

function plainArguments($: TokenParser, { texts, quantities }: SharedRules) {
  const reads = <R>(name: string, value: Rule<R>): ArgumentRule =>
    argumentRule($, name, (keep) => keep($.use(value)))

  const hourly = argumentRule($, "hourly", (keep) => {
    keep($.use(quantities.plain))
    $.word("per")
    $.word("hour")
  })

  const currency = argumentRule($, "currency", (keep) => {
    const code = $.take(T.Word)
    keep({ text: code.text, span: $.problems.spanOf(code) } satisfies Name)
  })

  const onOrOff = argumentRule($, "onOrOff", (keep, start) => {
    const word = $.choose([{ ALT: () => $.word("on") }, { ALT: () => $.word("off") }])
    keep({ on: word.key === "on", span: $.spanFrom(start) } satisfies PowerClause)
  })

  return {
    nothing: argumentRule($, "nothing", (keep, start) => keep($.spanFrom(start))),
    number: reads("plainNumber", quantities.plain),
    minutes: reads("minutes", quantities.quantity),
    wait: reads("wait", quantities.quantity),
    percent: reads("percentage", quantities.percent),
    text: argumentRule($, "clauseText", (keep, _start, what) => keep($.use(texts.quoted, [what]))),
    hourly: hourly,
    currency: currency,
    onOrOff: onOrOff,
  }
}

/** A picture; and a caution with those that come right after it. */
function pictureArguments($: TokenParser, { texts }: SharedRules) {
  const shown = $.rule("shown", (): Text => $.use(texts.quoted))
  const picture = $.rule("onePicture", (start: number = 0): PictureTree => {
    const path = $.use(texts.quoted, ["path"])
    const text = $.use(shown)
    return { kind: "picture", path, text, span: $.spanFrom(start) }
  })

  const caution = argumentRule($, "caution", (keep, _start, what) => {
    const pictures: PictureTree[] = []
    const text = $.use(texts.quoted, [what])
    keep({ ...text, pictures } satisfies CautionTree)
    $.repeat({
      GATE: () => $.at("picture"),
      DEF: () => {
        const { start } = $.word("picture")
        const own = $.use(picture, [start])
        $.act(() => pictures.push(own))
      },
    })
  })

  return {
    picture: argumentRule($, "picture", (keep, start) => keep($.use(picture, [start]))),
    caution,
  }
}

function nameArguments($: TokenParser, { names, quantities }: SharedRules) {
  const name = argumentRule($, "oneName", (keep) => keep($.use(names.name)))

  const withPercent = argumentRule($, "nameWithPercent", (keep, start) => {
    const whose = $.use(names.name)
    const chance = $.use(quantities.percent)
    keep({ name: whose, chance, span: $.spanFrom(start) } satisfies NameWithChance)
  })

  const withOptionalPercent = argumentRule($, "nameWithOptionalPercent", (keep, start) => {
    const whose = $.use(names.name)
    const chance = $.maybe(() => $.use(quantities.percent))
    keep({ name: whose, ...(chance && { chance }), span: $.spanFrom(start) } satisfies NameWithChance)
  })

  const listItem = $.rule("nameInList", (lacksComma = false): NameWithChance => {
    const whose = $.use(names.name)
    const chance = $.maybe(() => $.use(quantities.percent))
    const itsName = lacksComma ? { ...whose, lacksComma: true as const } : whose
    return { name: itsName, ...(chance && { chance }), span: $.spanFrom(whose?.span?.start ?? 0) }
  })

  const list = argumentRule($, "namesWithOptionalPercent", (keep) => {
    keep($.use(listItem))
    $.repeat({
      GATE: () => listGoesOn($),
      DEF: () => {
        const comma = $.maybe(() => $.take(T.Comma))
        keep($.use(listItem, [comma === undefined], 1))
      },
    })
  })

  return {
    name: name,
    names: argumentRule($, "listOfNames", (keep) => $.use(names.names, [keep])),
    nameWithPercent: withPercent,
    nameWithOptionalPercent: withOptionalPercent,
    namesWithOptionalPercent: list,
  }
}

function typeArguments($: TokenParser, { names, quantities }: SharedRules) {
  /** The first word has been taken. */
  const yesOrNo = argumentRule($, "yesOrNo", (keep, start) => {
    $.act(() => correctOr($))
    $.word("or")
    $.word("no")
    keep({ kind: "yes or no", span: $.spanFrom(start) } satisfies TypeTree)
  })

  const values = argumentRule($, "valuesOfType", (keep, start) => {
    keep({ kind: "one of", values: $.use(names.values), span: $.spanFrom(start) } satisfies TypeTree)
  })

  const unit = $.rule("newUnit", (): Name => $.use(quantities.unit))

  const range = argumentRule($, "range", (keep, start) => {
    const its = $.use(unit)
    $.word("from")
    const from = $.use(quantities.quantity)
    $.act(() => correctBetween($, "to"))
    $.word("to")
    const to = $.use(quantities.quantity, [], 1)
    const by = $.maybe((): Quantity => {
      $.word("by")
      return $.use(quantities.quantity, [], 2)
    })
    const span = $.spanFrom(start)
    keep({ kind: "quantity", unit: its, from, to, ...(by && { by }), span } satisfies TypeTree)
  })

  return { yesOrNo: yesOrNo, values: values, range: range }
}

/** `yes, no`, and `yes, no, a_little`, which lacks its `one of`. */
function correctOr($: TokenParser): void {
  const { next, last, problems } = $
  if (next.key !== ",") return
  if ($.ahead(2).key !== "no" || $.ahead(3).key === ",") {
    problems.missingWords("one of", last)
    throw GIVE_UP
  }
  const span = problems.span(last.end, next.end)
  problems.correct("unexpected", span, "`yes, no` is written `yes or no`.", "Write `or`", " or")
  become(next, lookUp(T.WORD_TOKENS, "or"), "or")
}

function conditionArguments($: TokenParser, { names, quantities, condition }: SharedRules) {
  const shows = argumentRule($, "shows", (keep, start) => {
    const what = $.use(names.name)
    $.act(() => correctTerm($, true, 0))
    const rest = $.choose<Pick<ShowsClause, "condition" | "chance">>({
      ERR_MSG: "relation",
      // A number begins no condition; only what is taken for a name may.
      IGNORE_AMBIGUITIES: true,
      DEF: [
        // Without a condition it is the complaint that comes and goes.
        { GATE: () => !atRange($), ALT: () => ({ chance: $.use(quantities.percent) }) },
        {
          ALT: () => {
            const its = $.use(condition, [true])
            const chance = $.maybe(() => $.use(quantities.percent, [], 1))
            return { condition: its, ...(chance && { chance }) }
          },
        },
      ],
    })
    keep({ what, ...rest, span: $.spanFrom(start) } satisfies ShowsClause)
  })

  const conditionWithPercent = argumentRule($, "conditionWithPercent", (keep, start) => {
    const its = $.use(condition, [true])
    keep({ condition: its, span: $.spanFrom(start) })
    $.attempt(() => {
      const chance = $.use(quantities.percent)
      keep({ condition: its, chance, span: $.spanFrom(start) })
    })
  })

  const expects = argumentRule($, "expects", (keep, start) => {
    const reading = $.use(names.name)
    const its = $.use(condition, [true])
    keep({ reading, condition: its, span: $.spanFrom(start) } satisfies ReadingCondition)
  })

  return {
    shows: shows,
    conditionWithPercent: conditionWithPercent,
    expects: expects,
    condition: argumentRule($, "clauseCondition", (keep) => keep($.use(condition))),
  }
}
