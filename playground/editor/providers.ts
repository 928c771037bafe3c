import { effect } from "@preact/signals"
import type { Change, Edit, Span } from "../../compiler/diagnostics/diagnostic.ts"
import { highlight } from "../../compiler/service/highlight.ts"
import { hoverMarkdown } from "../../compiler/service/hover-markdown.ts"
import type { Completion, Hint } from "../../compiler/service/index.ts"
import { capitalized } from "../../compiler/wording/sentence.ts"
import { language } from "../actions/text.ts"
import { diagnostics, quickDiagnostics, say } from "../state/state.ts"
import { fileOf, uriOf } from "./models.ts"
import { LANGUAGE_ID, monaco } from "./monaco.ts"

/** Monaco asks, the language service in its worker answers; here is only the translation between the two. */
type Model = monaco.editor.ITextModel

export function rangeIn(model: Model, span: { start: number; end: number }): monaco.IRange {
  return monaco.Range.fromPositions(model.getPositionAt(span.start), model.getPositionAt(span.end))
}

function location(span: Span): monaco.languages.Location | undefined {
  const uri = uriOf(span.file)
  const model = monaco.editor.getModel(uri)
  return model ? { uri, range: rangeIn(model, span) } : undefined
}

function workspaceEdit(changes: readonly Change[]): monaco.languages.WorkspaceEdit {
  return {
    edits: changes.flatMap(({ span, text }) => {
      const resource = uriOf(span.file)
      const model = monaco.editor.getModel(resource)
      if (!model) return []
      return [{ resource, versionId: undefined, textEdit: { range: rangeIn(model, span), text } }]
    }),
  }
}

const kinds: Record<Completion["kind"], keyof typeof monaco.languages.CompletionItemKind> = {
  declaration: "Keyword",
  clause: "Property",
  word: "Keyword",
  value: "EnumMember",
  unit: "Unit",
  file: "File",
  ruleset: "Module",
  part: "Class",
  setup: "Interface",
  complaint: "Event",
  fault: "Variable",
  told: "Field",
  reading: "Field",
  test: "Function",
  rule: "Operator",
}
const kindNames: Partial<Record<Completion["kind"], string>> = {
  declaration: "begins a declaration",
  clause: "clause",
}

export function registerLanguage(): void {
  monaco.languages.register({ id: LANGUAGE_ID, extensions: [".ruleout"] })
  monaco.languages.setLanguageConfiguration(LANGUAGE_ID, {
    comments: { lineComment: "#" },
    brackets: [["(", ")"]],
    autoClosingPairs: [
      { open: '"', close: '"', notIn: ["string", "comment"] },
      { open: "(", close: ")", notIn: ["string", "comment"] },
    ],
    wordPattern: /[\p{L}_][\p{L}\p{N}_]*/u,
  })
  monaco.languages.setTokensProvider(LANGUAGE_ID, {
    getInitialState: () => lineState,
    tokenize: (line) => ({
      endState: lineState,
      tokens: highlight(line).flatMap(({ start, end, look }) => [
        { startIndex: start, scopes: look },
        { startIndex: end, scopes: "" },
      ]),
    }),
  })
  provideWords()
  providePlaces()
  provideRenaming()
  provideLayout()
  provideHints()
  provideFixes()
}

function provideWords(): void {
  monaco.languages.registerCompletionItemProvider(LANGUAGE_ID, {
    triggerCharacters: [" ", ",", '"'],
    async provideCompletionItems(model, position) {
      const list = await language.complete(fileOf(model.uri), model.getOffsetAt(position))
      return { suggestions: list.map((each) => suggestion(model, each)) }
    },
  })
  monaco.languages.registerHoverProvider(LANGUAGE_ID, {
    async provideHover(model, position) {
      const hover = await language.hover(fileOf(model.uri), model.getOffsetAt(position))
      if (!hover) return null
      return {
        range: rangeIn(model, hover.span),
        contents: [{ value: hoverMarkdown(hover) }],
      }
    },
  })
}

function providePlaces(): void {
  monaco.languages.registerDefinitionProvider(LANGUAGE_ID, {
    async provideDefinition(model, position) {
      const span = await language.definition(fileOf(model.uri), model.getOffsetAt(position))
      return span ? location(span) : null
    },
  })
  monaco.languages.registerReferenceProvider(LANGUAGE_ID, {
    async provideReferences(model, position) {
      const spans = await language.references(fileOf(model.uri), model.getOffsetAt(position))
      return spans.flatMap((span) => location(span) ?? [])
    },
  })
  monaco.languages.registerDocumentHighlightProvider(LANGUAGE_ID, {
    async provideDocumentHighlights(model, position) {
      const file = fileOf(model.uri)
      const spans = await language.references(file, model.getOffsetAt(position))
      return spans.filter((span) => span.file === file).map((span) => ({ range: rangeIn(model, span) }))
    },
  })
  monaco.languages.registerDocumentSymbolProvider(LANGUAGE_ID, {
    displayName: "Declarations",
    async provideDocumentSymbols(model) {
      const items = await language.outline(fileOf(model.uri))
      return items.map((item) => ({
        name: item.name,
        detail: item.detail,
        kind: monaco.languages.SymbolKind[symbolKinds[item.kind] ?? "Object"],
        tags: [],
        range: rangeIn(model, item.span),
        selectionRange: rangeIn(model, item.focus),
      }))
    },
  })
}

function provideRenaming(): void {
  monaco.languages.registerRenameProvider(LANGUAGE_ID, {
    async resolveRenameLocation(model, position) {
      const found = await language.renamed(fileOf(model.uri), model.getOffsetAt(position))
      if ("refused" in found) {
        const range = new monaco.Range(
          position.lineNumber,
          position.column,
          position.lineNumber,
          position.column,
        )
        return { range, text: "", rejectReason: found.refused }
      }
      return { range: rangeIn(model, found.span), text: found.name }
    },
    async provideRenameEdits(model, position, name) {
      const renaming = await language.rename(fileOf(model.uri), model.getOffsetAt(position), name)
      // The editor would write the reason to the console only.
      if ("refused" in renaming) {
        say(`Not renamed: ${renaming.refused}`, { bad: true })
        return { edits: [] }
      }
      return workspaceEdit(renaming.changes)
    },
  })
}

function provideLayout(): void {
  monaco.languages.registerFoldingRangeProvider(LANGUAGE_ID, {
    async provideFoldingRanges(model) {
      const folds = await language.folding(fileOf(model.uri))
      return folds.map(({ first, last, comment }) => ({
        start: first + 1,
        end: last + 1,
        ...(comment ? { kind: monaco.languages.FoldingRangeKind.Comment } : {}),
      }))
    },
  })
}

/** After the odds of each fault, how many jobs have it; odds of other files count too, so all reading renews them. */
function provideHints(): void {
  const changed = new monaco.Emitter<void>()
  effect(() => {
    quickDiagnostics.value
    changed.fire()
  })
  monaco.languages.registerInlayHintsProvider(LANGUAGE_ID, {
    onDidChangeInlayHints: changed.event,
    async provideInlayHints(model, range) {
      const hints = await language.hints(fileOf(model.uri))
      const at = ({ offset }: Hint) => model.getPositionAt(offset)
      const shown = hints.filter((hint) => monaco.Range.containsPosition(range, at(hint)))
      return {
        hints: shown.map((hint) => ({
          position: at(hint),
          label: hint.text,
          tooltip: hint.says,
          paddingLeft: true,
        })),
        dispose: () => {},
      }
    },
  })
}

function provideFixes(): void {
  monaco.languages.registerCodeActionProvider(LANGUAGE_ID, {
    provideCodeActions(model, range) {
      const file = fileOf(model.uri)
      const from = model.getOffsetAt(monaco.Range.getStartPosition(range))
      const to = model.getOffsetAt(monaco.Range.getEndPosition(range))
      const here = diagnostics.value.filter(
        ({ span }) => span.file === file && span.start <= to && span.end >= from,
      )
      return {
        actions: here.flatMap((found) => found.edits.map((edit) => quickFix(edit))),
        dispose: () => {},
      }
    },
  })
}

const lineState: monaco.languages.IState = {
  clone: () => lineState,
  equals: () => true,
}

const symbolKinds: Partial<Record<string, keyof typeof monaco.languages.SymbolKind>> = {
  part: "Class",
  setup: "Interface",
  fault: "Variable",
  told: "Field",
  reading: "Field",
  test: "Function",
  rule: "Operator",
  ruleset: "Module",
}

function suggestion(model: Model, each: Completion): monaco.languages.CompletionItem {
  const note = each.says ?? kindNames[each.kind] ?? ""
  return {
    label: { label: each.label, description: each.detail },
    kind: monaco.languages.CompletionItemKind[kinds[each.kind]],
    insertText: each.insert,
    insertTextRules: monaco.languages.CompletionItemInsertTextRule.InsertAsSnippet,
    range: rangeIn(model, each.span),
    sortText: `${each.rank.toFixed(2)} ${each.label}`,
    ...(note === "" ? {} : { documentation: note }),
  }
}

function quickFix(edit: Edit): monaco.languages.CodeAction {
  return {
    title: capitalized(edit.title),
    kind: "quickfix",
    isPreferred: edit.safe,
    edit: workspaceEdit(edit.changes),
    diagnostics: [],
  }
}
