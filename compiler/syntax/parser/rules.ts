import { clausesFrom } from "../language/clause-starts.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import * as T from "../lexer/token-types.ts"
import { quoteToken } from "../recovery/declaration-problems.ts"
import type { FaultsItem, FaultsTree, Name, RuleDecl } from "../syntax-tree.ts"
import type { Bare, Draft } from "./clauses.ts"
import { type NameRules, takeReservedAsName } from "./names.ts"
import type { SharedRules } from "./shared-rules.ts"
import { GIVE_UP, type Rule, type TokenParser } from "./token-parser.ts"

/** The words at which reading goes on after a mistake in a rule. */
const STAGES = ["rule", "leaves", "because"]

/**
 * `[rule NAME:] when CONDITION rule out FAULTS [because "text"]`. Its parts have an order, unlike clauses; after a
 * mistake in one part it goes on at the next, so that each part's own mistake is reported. `readBecause` reads what
 * comes after the faults.
 */
export function ruleRule(
  $: TokenParser,
  { names, condition, quantities }: SharedRules,
  readBecause: (draft: Draft<Bare<RuleDecl>>) => void,
): Rule<Bare<RuleDecl>> {
  const faults = faultsRule($, names)
  const newRuleName = $.rule("newRuleName", (): Name => $.use(names.name))

  const leavesOnly = $.rule("leavesOnly", (): Lexeme => twoWords($, "leaves", "only"))

  const verb = $.rule("verb", (): "rule out" | "leaves only" => {
    $.act(() => $.correctWord(["rule", "leaves"]))
    const first = $.choose<Lexeme>([
      { ALT: () => twoWords($, "rule", "out") },
      { ALT: () => $.use(leavesOnly) },
    ])
    return first.key === "leaves" ? "leaves only" : "rule out"
  })

  const readName = (draft: Draft<Bare<RuleDecl>>): void => {
    $.maybe(() => {
      $.word("rule")
      $.attempt(() => {
        draft.name = $.use(newRuleName)
      }, [":", "when"])
      const colon = $.maybe(() => $.take(T.Colon), 1)
      if (colon === undefined) $.act(() => reportMissingColon($))
    })
  }

  const readVerdict = (draft: Draft<Bare<RuleDecl>>): void => {
    $.act(() => {
      dropJoint($)
      needsVerdict($)
    })
    draft.verb = $.use(verb)
    draft.faults = $.use(faults)
    const chance = $.maybe(() => $.use(quantities.percent), 2)
    if (chance !== undefined) draft.chance = chance
  }

  return $.rule("ruleDeclaration", (): Bare<RuleDecl> => {
    const draft: Draft<Bare<RuleDecl>> = { kind: "rule" }
    $.act(() => expectAt($, ["when", ...STAGES]))
    readName(draft)
    $.attempt(() => void $.word("when"))
    $.act(() => expectAt($, STAGES))
    $.attempt(() => {
      $.act(() => needsCondition($))
      draft.condition = $.use(condition)
    }, STAGES)
    $.attempt(() => readVerdict(draft), ["because"])
    $.act(() => expectAt($, ["because"]))
    readBecause(draft)
    return draft
  })
}

/** `a, any in PLACE except b, …` */
function faultsRule($: TokenParser, names: NameRules): Rule<FaultsTree> {
  const anyIn = $.rule("anyIn", (): Name => {
    $.word("any")
    $.word("in")
    return $.use(names.name)
  })

  const except = $.rule("except", (add: (name: Name) => void = () => {}): void => {
    $.word("except")
    $.use(names.names, [add])
  })

  const faultsItem = $.rule("faultsItem", (): FaultsItem => {
    const { start } = $.next
    const listed: Name[] = []
    const spared: Name[] = []
    let place: Name | undefined
    $.act(() => takeReservedAsName($))
    $.choose<void>([
      { ALT: () => $.use(names.names, [(name) => listed.push(name)]) },
      {
        ALT: () => {
          place = $.use(anyIn)
        },
      },
    ])
    $.maybe(() => $.use(except, [(name) => spared.push(name)]))
    return { names: listed, ...(place && { anyIn: place }), except: spared, span: $.spanFrom(start) }
  })

  return $.rule("faults", (): FaultsTree => {
    const { start } = $.next
    $.act(() => expectAt($, ["any", "except", ...STAGES]))
    const items = [$.use(faultsItem)]
    $.repeat({
      GATE: () => atNextItem($),
      DEF: () => {
        $.maybe(() => $.take(T.Comma))
        items.push($.use(faultsItem, [], 1))
      },
    })
    return { items, span: $.spanFrom(start) }
  })
}

function twoWords($: TokenParser, first: string, second: string): Lexeme {
  const word = $.word(first)
  $.word(second)
  return word
}

/** The words at which the next part begins; what a message gives as an example is no longer a clause. */
function expectAt($: TokenParser, words: readonly string[]): void {
  $.clauseWords = words
  $.problems.clause = clausesFrom($.problems.spec, words[0] ?? "").find(({ words: own }) => own === "because")
}

/** A comma and more faults; or `any in` without its comma. */
function atNextItem($: TokenParser): boolean {
  if (!$.at("any")) return $.at(",")
  $.problems.missingSign(",", "A comma", $.last)
  return true
}

function reportMissingColon({ problems, last }: TokenParser): void {
  if (problems.isWhole) problems.missingSign(":", "A colon", last)
}

function needsCondition($: TokenParser): void {
  const { problems, next, last } = $
  if (next.kind === "end" && !problems.isWhole) throw GIVE_UP
  if (!$.at("rule") && !$.at("leaves")) return
  problems.report("incomplete", problems.spanOf(last), `${quoteToken(last)} has no condition.`, {
    help: "Say which findings rule out, like `when glow is yes rule out supply_low`.",
  })
  throw GIVE_UP
}

/** `then`, an arrow, a comma or a colon between the condition and what it rules out. */
function dropJoint($: TokenParser): void {
  const isJoint = [",", ":", "then", "->", "=>"].includes($.next.text)
  if (isJoint && ["rule", "leaves"].includes($.ahead(2).key)) $.dropNeedless()
}

function needsVerdict($: TokenParser): void {
  const { problems, next, last } = $
  if (next.kind !== "end" && !$.at("because")) return
  if (!problems.isWhole) throw GIVE_UP
  problems.report("incomplete", problems.spanOf(last), "The rule says nothing about any fault.", {
    help: "Add `rule out FAULTS` or `leaves only FAULTS` after the condition.",
  })
  throw GIVE_UP
}
