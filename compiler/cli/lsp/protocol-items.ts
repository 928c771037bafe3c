/** What the language service says, in the words of the Language Server Protocol 3.17. */
import {
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  DiagnosticSeverity,
  type DocumentSymbol,
  InsertTextFormat,
  SemanticTokensBuilder,
  SymbolKind,
} from "vscode-languageserver"
import type { Diagnostic as Problem } from "../../diagnostics/diagnostic.ts"
import type { Lines } from "../../diagnostics/line-index.ts"
import { underlined } from "../../diagnostics/underline.ts"
import type { Completion, OutlineItem, SemanticToken, TokenStyle } from "../../service/index.ts"
import { codePage } from "../io/pages.ts"
import { locationOf, positionAt, rangeOf } from "./positions.ts"
import type { Project } from "./project.ts"

const severities = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  note: DiagnosticSeverity.Information,
}

export function diagnosticOf(project: Project, found: Problem): Diagnostic {
  const { code, severity, message, help, span, labels } = found
  const lines = project.lines(span.file)
  const page = codePage(code)
  return {
    range: rangeOf(lines, underlined(lines.text, span)),
    severity: severities[severity],
    code,
    ...(page === undefined ? {} : { codeDescription: { href: page } }),
    source: "ruleout",
    message: help === undefined ? message : `${message}\n${help}`,
    relatedInformation: labels.map((label) => ({
      location: locationOf(project, label.span),
      message: label.text,
    })),
  }
}

const completionKinds: Record<Completion["kind"], CompletionItemKind> = {
  declaration: CompletionItemKind.Keyword,
  clause: CompletionItemKind.Property,
  word: CompletionItemKind.Keyword,
  value: CompletionItemKind.EnumMember,
  unit: CompletionItemKind.Unit,
  file: CompletionItemKind.File,
  ruleset: CompletionItemKind.Module,
  part: CompletionItemKind.Class,
  setup: CompletionItemKind.Interface,
  complaint: CompletionItemKind.Event,
  fault: CompletionItemKind.Variable,
  told: CompletionItemKind.Field,
  reading: CompletionItemKind.Field,
  test: CompletionItemKind.Function,
  rule: CompletionItemKind.Operator,
}

/** `snippets`: whether the editor has places to fill in; without them their first words stand there. */
export function completionOf(lines: Lines, each: Completion, snippets: boolean): CompletionItem {
  const newText = snippets ? each.insert : each.insert.replace(/\$\{\d+:([^}]*)\}/g, "$1")
  return {
    label: each.label,
    kind: completionKinds[each.kind],
    detail: each.detail,
    ...(each.says === undefined ? {} : { documentation: each.says }),
    sortText: `${each.rank.toFixed(2)} ${each.label}`,
    insertTextFormat: snippets ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    textEdit: { range: rangeOf(lines, each.span), newText },
  }
}

const symbolKinds: Record<OutlineItem["kind"], SymbolKind> = {
  ruleset: SymbolKind.Module,
  use: SymbolKind.File,
  part: SymbolKind.Class,
  setup: SymbolKind.Interface,
  complaint: SymbolKind.Event,
  fault: SymbolKind.Variable,
  told: SymbolKind.Field,
  reading: SymbolKind.Field,
  test: SymbolKind.Function,
  rule: SymbolKind.Operator,
  never: SymbolKind.Boolean,
  proof: SymbolKind.Constant,
  scenario: SymbolKind.Event,
  texts: SymbolKind.Namespace,
}

export function symbolOf(lines: Lines, item: OutlineItem): DocumentSymbol {
  return {
    name: item.name,
    detail: item.detail,
    kind: symbolKinds[item.kind],
    range: rangeOf(lines, item.span),
    selectionRange: rangeOf(lines, item.focus),
  }
}

/** Types of the protocol, so that themes know them. */
const names = {
  ruleset: "namespace",
  use: "string",
  part: "class",
  setup: "interface",
  complaint: "event",
  fault: "variable",
  told: "property",
  reading: "property",
  test: "function",
  rule: "macro",
  never: "macro",
  proof: "macro",
  scenario: "macro",
  texts: "namespace",
} as const satisfies Record<OutlineItem["kind"], string>

const looks = {
  declaration: "keyword",
  keyword: "keyword",
  "new-name": "variable",
  name: "enumMember",
  number: "number",
  unit: "type",
  text: "string",
  comment: "comment",
  mark: "operator",
  broken: undefined,
} as const satisfies Record<TokenStyle, string | undefined>

export const tokenTypes: readonly string[] = [
  ...new Set([...Object.values(names), ...Object.values(looks).filter((look) => look !== undefined)]),
]
export const TOKEN_MODIFIERS: readonly string[] = ["declaration"]

export function tokensOf(lines: Lines, tokens: readonly SemanticToken[]) {
  const builder = new SemanticTokensBuilder()
  for (const { start, end, look, names: kind } of tokens) {
    const type = kind === undefined ? looks[look] : names[kind]
    if (type === undefined) continue
    const { line, character } = positionAt(lines, start)
    builder.push(line, character, end - start, tokenTypes.indexOf(type), look === "new-name" ? 1 : 0)
  }
  return builder.build()
}
