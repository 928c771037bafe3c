import { readCondition } from "./conditions.ts"
import { GIVE_UP } from "./cursor.ts"
import type { Bare } from "./declarations.ts"
import type { Terms } from "./terms.ts"
import type { Condition, FaultsTree, Name, RuleDecl, Text } from "./tree.ts"

const STAGES = ["rule", "leaves", "because"]

interface Parts {
  name?: Name
  condition?: Condition
  verb?: "rule out" | "leaves only"
  faults?: FaultsTree
  because?: Text
}

/**
 * Reads `[NAME: when] CONDITION rule out FAULTS [because "text"]`. Its parts have an order, unlike clauses; after a
 * mistake in one part it goes on at the next, so that each part's own mistake is reported.
 */
export function readRule(c: Terms, named: boolean): Bare<RuleDecl> {
  const parts: Parts = {}
  c.clauseWords = named ? ["when", ...STAGES] : STAGES
  if (named) attempt(c, ["when"], () => readName(c, parts))
  c.clauseWords = STAGES
  if (!c.at("rule") && !c.at("leaves"))
    attempt(c, STAGES, () => {
      parts.condition = readCondition(c, false)
    })
  else {
    c.whole = false
    c.report("incomplete", c.spanOf(c.last), `${c.quoted(c.last)} has no condition.`, {
      help: "Say which findings rule out, like `when glow is yes rule out supply_low`.",
    })
  }
  const whole = c.whole
  attempt(c, ["because"], () => readVerdict(c, parts, whole))
  attempt(c, [], () => readBecause(c, parts))
  return { kind: "rule", ...parts }
}

function attempt(c: Terms, next: readonly string[], read: () => void): void {
  try {
    read()
  } catch (thrown) {
    if (thrown !== GIVE_UP) throw thrown
    c.whole = false
    c.skipTo(next)
  }
}

function readName(c: Terms, parts: Parts): void {
  const example = "rule rail_fine: when glow is yes"
  if (c.at(":") || c.at("when")) c.complain("the name of the rule", example)
  else parts.name = c.name("the name of the rule", example)
  if (!c.accept(":") && c.whole) c.insert(`Behind the name ${c.quoted(c.last)} a colon is missing.`, ":")
  c.keyword("when", example)
}

function readVerdict(c: Terms, parts: Parts, whole: boolean): void {
  const example = "rule out supply_low"
  if (c.done || c.at("because")) {
    if (!whole) return
    c.whole = false
    c.report("incomplete", c.spanOf(c.last), "The rule says nothing about any fault.", {
      help: "Behind the condition stands `rule out FAULTS` or `leaves only FAULTS`.",
    })
    return
  }
  const verb = c.accept("rule") ? "rule" : c.accept("leaves") ? "leaves" : c.slip(["rule", "leaves"])
  if (verb === undefined) c.missing("`rule out` or `leaves only`", example)
  c.keyword(verb === "rule" ? "out" : "only", verb === "rule" ? example : "leaves only panel_dead")
  parts.verb = verb === "rule" ? "rule out" : "leaves only"
  parts.faults = readFaults(c)
}

function readFaults(c: Terms): FaultsTree {
  const start = c.token.start
  const names: Name[] = []
  const except: Name[] = []
  let anyIn: Name | undefined
  c.clauseWords = ["any", "except", ...STAGES]
  if (c.accept("any")) {
    c.keyword("in", "rule out any in panel")
    anyIn = c.name("a part or setup", "rule out any in panel")
  } else c.names(names, "a fault", "rule out supply_low")
  if (c.accept("except")) c.names(except, "a fault", "except panel_dead")
  return { names, ...(anyIn === undefined ? {} : { anyIn }), except, span: c.span(start) }
}

function readBecause(c: Terms, parts: Parts): void {
  if (c.done) return
  c.clauseWords = ["because"]
  if (!c.accept("because") && c.slip(["because"]) === undefined) c.strange()
  parts.because = c.text("a text in quotes", 'because "a rail inside 5 % clears it"')
  if (c.at("because")) c.doubled("because", c.spanOf(c.take()), parts.because.span)
  else if (!c.done) c.strange()
}
