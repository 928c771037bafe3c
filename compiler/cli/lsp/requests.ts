/** What the editor asks. Each answer is the language service's; here it is only put into the protocol's words. */
import {
  CodeActionKind,
  type Connection,
  FoldingRangeKind,
  InlayHintKind,
  LSPErrorCodes,
  MarkupKind,
  ResponseError,
  type ServerCapabilities,
  SymbolInformation,
  TextDocumentSyncKind,
} from "vscode-languageserver"
import type { Lines } from "../../diagnostics/line-index.ts"
import { hoverMarkdown } from "../../service/hover-markdown.ts"
import { codeActionsAt } from "./code-actions.ts"
import { lensesOf } from "./planning.ts"
import { editOf, editsOf, fileOf, locationOf, offsetAt, positionAt, rangeOf, uriOf } from "./positions.ts"
import type { Project } from "./project.ts"
import { completionOf, symbolOf, TOKEN_MODIFIERS, tokensOf, tokenTypes } from "./protocol-items.ts"
import type { Session } from "./session.ts"

export const capabilities: ServerCapabilities = {
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
  completionProvider: { triggerCharacters: [" ", ",", '"'] },
  hoverProvider: true,
  definitionProvider: true,
  referencesProvider: true,
  documentHighlightProvider: true,
  documentSymbolProvider: true,
  workspaceSymbolProvider: true,
  renameProvider: { prepareProvider: true },
  foldingRangeProvider: true,
  documentFormattingProvider: true,
  codeActionProvider: {
    codeActionKinds: [CodeActionKind.QuickFix, CodeActionKind.SourceFixAll, CodeActionKind.RefactorExtract],
  },
  codeLensProvider: {},
  inlayHintProvider: true,
  semanticTokensProvider: {
    legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...TOKEN_MODIFIERS] },
    full: true,
  },
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
}

interface About {
  readonly project: Project
  readonly file: string
  readonly lines: Lines
}

export function answerRequests(connection: Connection, session: Session): void {
  const about = ({ textDocument }: { textDocument: { uri: string } }): About | undefined => {
    const file = fileOf(textDocument.uri)
    const project = session.projects.of(file)
    return project && { project, file, lines: project.lines(file) }
  }
  answerAtCaret(connection, session, about)
  answerAboutNames(connection, about)
  answerAboutFiles(connection, session, about)
}

type Asked = (params: { textDocument: { uri: string } }) => About | undefined

function answerAtCaret(connection: Connection, session: Session, about: Asked): void {
  connection.onCompletion((params) => {
    const at = about(params)
    if (!at) return []
    const { project, file, lines } = at
    const completions = project.service.complete(file, offsetAt(lines, params.position))
    return completions.map((each) => completionOf(lines, each, session.snippets))
  })
  connection.onHover((params) => {
    const at = about(params)
    const hover = at?.project.service.hover(at.file, offsetAt(at.lines, params.position))
    if (!at || !hover) return null
    const contents = session.markdown
      ? { kind: MarkupKind.Markdown, value: hoverMarkdown(hover) }
      : { kind: MarkupKind.PlainText, value: [hover.title, ...hover.lines].join("\n") }
    return { contents, range: rangeOf(at.lines, hover.span) }
  })
  connection.onCodeAction((params) => {
    const at = about(params)
    return at ? codeActionsAt(at.project, params) : []
  })
}

function answerAboutNames(connection: Connection, about: Asked): void {
  connection.onDefinition((params) => {
    const at = about(params)
    const span = at?.project.service.definition(at.file, offsetAt(at.lines, params.position))
    return at && span ? locationOf(at.project, span) : null
  })
  connection.onReferences((params) => {
    const at = about(params)
    if (!at) return []
    const [declared, ...uses] = at.project.service.references(at.file, offsetAt(at.lines, params.position))
    const spans = declared && params.context.includeDeclaration ? [declared, ...uses] : uses
    return spans.map((span) => locationOf(at.project, span))
  })
  connection.onDocumentHighlight((params) => {
    const at = about(params)
    if (!at) return []
    const spans = at.project.service.references(at.file, offsetAt(at.lines, params.position))
    return spans.filter(({ file }) => file === at.file).map((span) => ({ range: rangeOf(at.lines, span) }))
  })
  connection.onPrepareRename((params) => {
    const at = about(params)
    const found = at?.project.service.renamed(at.file, offsetAt(at.lines, params.position))
    if (!at || !found) return null
    if ("refused" in found) return new ResponseError(LSPErrorCodes.RequestFailed, found.refused)
    return { range: rangeOf(at.lines, found.span), placeholder: found.name }
  })
  connection.onRenameRequest((params) => {
    const at = about(params)
    if (!at) return null
    const offset = offsetAt(at.lines, params.position)
    const renaming = at.project.service.rename(at.file, offset, params.newName)
    if ("refused" in renaming) return new ResponseError(LSPErrorCodes.RequestFailed, renaming.refused)
    return { changes: editsOf(at.project, renaming.changes) }
  })
}

function answerAboutFiles(connection: Connection, session: Session, about: Asked): void {
  connection.onDocumentSymbol((params) => {
    const at = about(params)
    return at ? at.project.service.outline(at.file).map((item) => symbolOf(at.lines, item)) : []
  })
  connection.onWorkspaceSymbol(({ query }) =>
    session.projects.all.flatMap((project) =>
      project.files.flatMap((file) => symbolsLike(project, file, query)),
    ),
  )
  connection.onFoldingRanges((params) => {
    const at = about(params)
    const folds = at?.project.service.folding(at.file) ?? []
    return folds.map(({ first, last, comment }) => ({
      startLine: first,
      endLine: last,
      ...(comment ? { kind: FoldingRangeKind.Comment } : {}),
    }))
  })
  connection.onDocumentFormatting((params) => {
    const at = about(params)
    if (at === undefined) return []
    const changes = at.project.service.format(at.file) ?? []
    return changes.map((change) => editOf(at.lines, change))
  })
  connection.onCodeLens((params) => {
    const at = about(params)
    const planned = at && session.planned(at.project)
    return planned ? lensesOf(at.project, at.file, planned) : []
  })
  connection.languages.inlayHint.on((params) => {
    const at = about(params)
    if (!at) return []
    const [start, end] = [offsetAt(at.lines, params.range.start), offsetAt(at.lines, params.range.end)]
    return at.project.service
      .hints(at.file)
      .filter(({ offset }) => start <= offset && offset <= end)
      .map(({ offset, text, says }) => ({
        position: positionAt(at.lines, offset),
        label: text,
        kind: InlayHintKind.Type,
        tooltip: says,
        paddingLeft: true,
      }))
  })
  connection.languages.semanticTokens.on((params) => {
    const at = about(params)
    return at ? tokensOf(at.lines, at.project.service.tokens(at.file)) : { data: [] }
  })
}

/** Declarations whose name has the letters of the query, in their order. */
function symbolsLike(project: Project, file: string, query: string): SymbolInformation[] {
  const lines = project.lines(file)
  return project.service
    .outline(file)
    .filter(({ name }) => hasLetters(name, query.toLowerCase()))
    .map((item) => {
      const { name, kind, range } = symbolOf(lines, item)
      return SymbolInformation.create(name, kind, range, uriOf(file))
    })
}

function hasLetters(name: string, query: string): boolean {
  let at = 0
  for (const letter of name) if (letter === query[at]) at++
  return at === query.length
}
