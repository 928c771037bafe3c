/** What the editor tells: which texts are open, what is typed, what has changed on the disk. */
import { type Connection, DidChangeWatchedFilesNotification, TextDocuments } from "vscode-languageserver"
import { TextDocument } from "vscode-languageserver-textdocument"
import { PICTURE_ENDINGS } from "../../model/pictures/check-picture.ts"
import { fileOf } from "./positions.ts"
import type { Session } from "./session.ts"

export function handleNotifications(connection: Connection, session: Session): void {
  const documents = new TextDocuments(TextDocument)
  documents.onDidOpen(({ document }) => {
    const file = fileOf(document.uri)
    session.projects.open(file, document.getText())
    tell(session, file, true)
  })
  documents.onDidChangeContent(({ document }) => {
    const file = fileOf(document.uri)
    session.projects.change(file, document.getText())
    tell(session, file, false)
  })
  documents.onDidSave(({ document }) => tell(session, fileOf(document.uri), true))
  documents.onDidClose(({ document }) => session.forget(session.projects.close(fileOf(document.uri))))
  documents.listen(connection)

  const tellAll = () => {
    for (const project of session.projects.all) session.changed(project, { andPlan: true })
  }
  connection.onDidChangeWatchedFiles(() => {
    session.projects.refresh()
    tellAll()
  })
  connection.onInitialized(() => {
    if (session.watches)
      void connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: ["ruleout", "cases.jsonl", `{${PICTURE_ENDINGS}}`].map((ending) => ({
          globPattern: `**/*.${ending}`,
        })),
      })
    connection.workspace.onDidChangeWorkspaceFolders(async () => {
      const folders = await connection.workspace.getWorkspaceFolders()
      session.setFolders((folders ?? []).map(({ uri }) => uri))
      tellAll()
    })
  })
}

function tell(session: Session, file: string, andPlan: boolean): void {
  for (const project of session.projects.all) if (project.has(file)) session.changed(project, { andPlan })
}
