import {
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  type TextDocumentEdit,
} from "vscode-languageserver"
import { applyChanges, applyToFiles, safeEdits } from "../../diagnostics/apply-edits.ts"
import type { Change, Edit } from "../../diagnostics/diagnostic.ts"
import { folderOf } from "../../model/relative-paths.ts"
import { changeBetween } from "../../service/change-between.ts"
import { countOf } from "../../wording/figures.ts"
import { capitalized } from "../../wording/sentence.ts"
import { editOf, editsOf, fileOf, offsetAt, uriOf } from "./positions.ts"
import type { Project } from "./project.ts"
import { diagnosticOf } from "./protocol-items.ts"

/** Fixes for what stands in the range, all that change no meaning at once, and what a selection can become. */
export function codeActionsAt(
  project: Project,
  { textDocument, range, context }: CodeActionParams,
): CodeAction[] {
  const file = fileOf(textDocument.uri)
  const lines = project.lines(file)
  const [start, end] = [offsetAt(lines, range.start), offsetAt(lines, range.end)]
  const wants = (kind: string) =>
    context.only?.some((only) => kind === only || kind.startsWith(`${only}.`)) ?? true
  return [
    ...(wants(CodeActionKind.QuickFix) ? quickFixes(project, file, start, end) : []),
    ...(wants(CodeActionKind.SourceFixAll) ? fixAll(project, file) : []),
    ...(wants(CodeActionKind.RefactorExtract) ? extraction(project, file, start, end) : []),
  ]
}

function quickFixes(project: Project, file: string, start: number, end: number): CodeAction[] {
  const here = project.diagnostics.filter(
    ({ span }) => span.file === file && span.start <= end && span.end >= start,
  )
  return here.flatMap((found) =>
    [...found.edits, ...project.service.declare(found)].map((edit) => ({
      title: capitalized(edit.title),
      kind: CodeActionKind.QuickFix,
      isPreferred: edit.safe,
      diagnostics: [diagnosticOf(project, found)],
      edit: { changes: editsOf(project, asApplied(project, edit)) },
    })),
  )
}

function fixAll(project: Project, file: string): CodeAction[] {
  const edits = safeEdits(project.diagnostics.filter(({ span }) => span.file === file))
  if (edits.length === 0) return []
  const changes = edits.flatMap(({ edit }) => edit.changes)
  const title = `Fix ${countOf(edits.length, "problem")} without a change of meaning`
  return [
    {
      title,
      kind: CodeActionKind.SourceFixAll,
      edit: { changes: editsOf(project, asApplied(project, { changes })) },
    },
  ]
}

/** The edit as it is applied everywhere else: what leaves an empty line takes it along. */
function asApplied(project: Project, { changes }: Pick<Edit, "changes">): Change[] {
  const sources = new Map(project.files.map((file) => [file, project.text(file)]))
  return [...applyToFiles(changes, sources)].flatMap(
    ([file, text]) => changeBetween(file, project.text(file), text) ?? [],
  )
}

function extraction(project: Project, file: string, start: number, end: number): CodeAction[] {
  const found = start < end ? project.service.extract(file, start, end) : undefined
  if (!found) return []
  const source = project.text(file)
  const change = changeBetween(file, source, applyChanges(source, found.changes))
  const edits = change ? [editOf(project.lines(file), change)] : []
  const edited: TextDocumentEdit = { textDocument: { uri: uriOf(file), version: null }, edits }
  const uri = uriOf(found.file)
  const top = { line: 0, character: 0 }
  const written: TextDocumentEdit = {
    textDocument: { uri, version: null },
    edits: [{ range: { start: top, end: top }, newText: found.text }],
  }
  return [
    {
      title: `Extract to the shared file \`${found.file.slice(folderOf(file).length)}\``,
      kind: CodeActionKind.RefactorExtract,
      edit: {
        documentChanges: [{ kind: "create", uri, options: { ignoreIfExists: false } }, written, edited],
      },
    },
  ]
}
