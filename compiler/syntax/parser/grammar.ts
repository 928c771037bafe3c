import { lookUp } from "../../run/lookup.ts"
import { listedNames } from "../../wording/sentence.ts"
import type { DeclarationSpec } from "../language/declaration-specs.ts"
import { leastOf } from "../language/forms.ts"
import { DECLARATIONS } from "../language/statements.ts"
import type { Lexeme } from "../lexer/lexer.ts"
import type { DeclarationProblems } from "../recovery/declaration-problems.ts"
import { explainStrange } from "../recovery/explain.ts"
import type { Condition, Name, ReadingDecl, Text } from "../syntax-tree.ts"
import { argumentRules } from "./arguments.ts"
import { type Bare, readClauses } from "./clauses.ts"
import { comparisonRules } from "./comparisons.ts"
import { conditionRules } from "./conditions.ts"
import { headRule } from "./heads.ts"
import { nameRules } from "./names.ts"
import { quantityRules } from "./quantities.ts"
import { ruleRule } from "./rules.ts"
import type { SharedRules } from "./shared-rules.ts"
import { textRules } from "./texts.ts"
import { GIVE_UP, type Rule, TokenParser } from "./token-parser.ts"
import { languageRule } from "./translation-arguments.ts"

/** The grammar of the language, for one declaration at a time. */
export interface Grammar {
  /** Reads one declaration, whose first token is its keyword; what is wrong goes into `problems`. */
  read(tokens: Lexeme[], problems: DeclarationProblems): Bare
}

/** `checked`: have the library look for ambiguities in the grammar, which throws where there are any. */
export function makeGrammar(checked = false): Grammar {
  const $ = new TokenParser(checked)
  const shared = sharedRules($)
  const args = argumentRules($, shared)
  const head = headRule($, shared.names, shared.texts)

  /** A declaration that begins with a name and a text, from its keyword to the end of its tokens. */
  const named = (spec: DeclarationSpec): Rule<Bare> => {
    const lists = listFields(spec)
    return $.rule(`${spec.kind}Declaration`, (): Bare => {
      $.word(spec.keyword)
      const { name, text } = $.use(head, [spec.text])
      const draft = {
        kind: spec.kind,
        ...(name && { name }),
        ...(text && spec.text && { [spec.text]: text }),
        ...Object.fromEntries(lists.map((field) => [field, []])),
      }
      readClauses($, args, spec.clauses, draft)
      $.act(() => needsType($, draft as Bare<ReadingDecl>))
      return draft as unknown as Bare
    })
  }

  const because = specOf("when").clauses.filter(({ words }) => words === "because")
  const others = {
    use: useRule($, shared),
    when: ruleRule($, shared, (draft) => readClauses($, args, because, draft)),
    never: neverRule($, shared),
    proof: textRule($, shared, specOf("proof"), args),
    scenario: textRule($, shared, specOf("scenario"), args),
    texts: textsRule($, shared, specOf("texts"), args),
  }
  const rules = [
    ...DECLARATIONS.filter(({ text }) => text !== undefined).map(named),
    ...(Object.values(others) as Rule<Bare>[]),
  ]
  const declaration = $.rule("declaration", (): Bare => {
    return $.choose<Bare>(rules.map((rule) => ({ ALT: () => $.use(rule) })))
  })
  $.seal()
  return {
    read(tokens, problems) {
      return $.run(declaration, tokens, problems)
    },
  }
}

function sharedRules($: TokenParser): SharedRules {
  const texts = textRules($)
  const quantities = quantityRules($)
  const names = nameRules($)
  const condition = conditionRules($, names, comparisonRules($, names, quantities))
  return { texts, quantities, names, condition, language: languageRule($) }
}

const SPECS = new Map<string, DeclarationSpec>(DECLARATIONS.map((spec) => [spec.keyword, spec]))

function specOf(keyword: string): DeclarationSpec {
  return lookUp(SPECS, keyword)
}

/** The fields of a declaration that hold lists. */
function listFields({ clauses }: DeclarationSpec): readonly string[] {
  const lists = clauses.filter(({ isList }) => isList)
  const hasKinds = clauses.some(({ group }) => group === "kind")
  return [...(hasKinds ? ["kinds"] : []), ...lists.map(({ field }) => field)]
}

function useRule($: TokenParser, { texts }: SharedRules): Rule<Bare> {
  const path = $.rule("path", (): Text => $.use(texts.text))
  return $.rule("useDeclaration", (): Bare => {
    $.word("use")
    let text: Text | undefined
    $.attempt(() => {
      text = $.use(path)
    }, [])
    $.act(() => nothingMore($))
    return { kind: "use", ...(text && { path: text }) }
  })
}

function neverRule($: TokenParser, shared: SharedRules): Rule<Bare> {
  return $.rule("neverDeclaration", (): Bare => {
    $.word("never")
    let condition: Condition | undefined
    $.attempt(() => {
      condition = $.use(shared.condition)
    }, [])
    $.act(() => nothingMore($))
    return { kind: "never", ...(condition && { condition }) }
  })
}

/** A declaration that begins with a text and has no name. */
function textRule(
  $: TokenParser,
  { texts }: SharedRules,
  spec: DeclarationSpec,
  args: ReturnType<typeof argumentRules>,
): Rule<Bare> {
  const text = $.rule(`${spec.kind}Text`, (): Text => $.use(texts.text))
  return namelessRule($, "text", text, spec, args)
}

/** The texts of a language. */
function textsRule(
  $: TokenParser,
  { language }: SharedRules,
  spec: DeclarationSpec,
  args: ReturnType<typeof argumentRules>,
): Rule<Bare> {
  const tag = $.rule("tag", (): Name => {
    $.act(() => needsLanguage($))
    return $.use(language)
  })
  return namelessRule($, "tag", tag, spec, args)
}

/** A declaration that begins with `head`, which is kept in `field`. */
function namelessRule(
  $: TokenParser,
  field: "text" | "tag",
  head: Rule<Text> | Rule<Name>,
  spec: DeclarationSpec,
  args: ReturnType<typeof argumentRules>,
): Rule<Bare> {
  const lists = listFields(spec)
  return $.rule(`${spec.kind}Declaration`, (): Bare => {
    $.word(spec.keyword)
    const draft: Record<string, unknown> = {
      kind: spec.kind,
      ...Object.fromEntries(lists.map((field) => [field, []])),
    }
    $.attempt(() => {
      draft[field] = $.use<Text | Name, []>(head)
    }, $.clauseWords)
    readClauses($, args, spec.clauses, draft)
    return draft as unknown as Bare
  })
}

/** A language may be called as a word of ours is, but not as one that begins an entry. */
function needsLanguage({ next, last, problems, clauseWords }: TokenParser): void {
  if (!clauseWords.includes(next.key)) return
  const help = `Write it like \`${problems.spec.example}\`.`
  problems.report("incomplete", problems.spanOf(last), "Expected a language after `texts`.", { help })
  throw GIVE_UP
}

/** For declarations that are whole with their head. */
function nothingMore($: TokenParser): void {
  if ($.next.kind === "end") return
  explainStrange($.problems, $.next, $.last)
  $.skipTo([])
}

function needsType({ problems }: TokenParser, draft: Bare<ReadingDecl>): void {
  const types = problems.spec.clauses.filter(({ group }) => group === "type")
  if (types.length === 0 || draft.type !== undefined || !problems.isWhole) return
  const what = draft.kind === "told" ? "question" : "reading"
  const forms = types.map(({ form }) => leastOf(form))
  problems.report("incomplete", problems.keyword, `This ${what} has no type.`, {
    help: `Add ${listedNames(forms, "or")} after the question.`,
  })
}
