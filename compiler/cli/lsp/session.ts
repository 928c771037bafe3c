import { CodeLensRefreshRequest, type Connection, type InitializeParams } from "vscode-languageserver"
import { type Planned, plan } from "./planning.ts"
import { fileOf, uriOf } from "./positions.ts"
import type { Project } from "./project.ts"
import { Projects } from "./projects.ts"
import { diagnosticOf } from "./protocol-items.ts"

/** Milliseconds without a change after which the text is analysed: fast typing costs one analysis and not twenty. */
const PAUSE = 150

interface Due {
  readonly timer: NodeJS.Timeout
  readonly andPlan: boolean
}

/** What an editor is told unasked: problems, and what the plan shows. */
export class Session {
  readonly projects = new Projects()
  /** What this editor can do. */
  snippets = false
  markdown = true
  watches = false
  #plans = true
  #refreshesLenses = false
  readonly #connection: Connection
  readonly #planned = new Map<string, Planned>()
  readonly #due = new Map<string, Due>()
  /** Files about which something has been said, by the ruleset for which it was. */
  readonly #told = new Map<string, readonly string[]>()

  constructor(connection: Connection) {
    this.#connection = connection
  }

  initialize({ capabilities, workspaceFolders, rootUri, initializationOptions }: InitializeParams): void {
    const { textDocument, workspace } = capabilities
    const root = rootUri ? [{ uri: rootUri }] : []
    this.setFolders((workspaceFolders ?? root).map(({ uri }) => uri))
    this.snippets = textDocument?.completion?.completionItem?.snippetSupport ?? false
    this.markdown = textDocument?.hover?.contentFormat?.includes("markdown") ?? true
    this.watches = workspace?.didChangeWatchedFiles?.dynamicRegistration ?? false
    this.#refreshesLenses = workspace?.codeLens?.refreshSupport ?? false
    this.#plans = initializationOptions?.plan !== false
  }

  setFolders(uris: readonly string[]): void {
    this.projects.setFolders(uris.map(fileOf))
  }

  /** What the plan of this version of the text has shown, if it has been made. */
  planned(project: Project): Planned | undefined {
    const known = this.#planned.get(project.root)
    return known?.version === project.version ? known : undefined
  }

  /** Something has changed: problems are told at the next pause, and then it is planned where somebody asked for it. */
  changed(project: Project, { andPlan }: { readonly andPlan: boolean }): void {
    const due = this.#due.get(project.root)
    clearTimeout(due?.timer)
    const plans = andPlan || due?.andPlan === true
    const timer = setTimeout(() => {
      this.#due.delete(project.root)
      this.#analyse(project, plans).catch((error: unknown) => this.#fail(error))
    }, PAUSE)
    this.#due.set(project.root, { timer, andPlan: plans })
  }

  async #analyse(project: Project, andPlan: boolean): Promise<void> {
    project.analyse()
    this.#tell(project)
    if (andPlan) await this.#plan(project)
  }

  #fail(error: unknown): void {
    this.#connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error))
  }

  /** Plans what has no plan yet, unless the editor asked for none. */
  async #plan(project: Project): Promise<void> {
    if (!this.#plans || this.planned(project)) return
    const planned = await plan(this.#connection, project)
    if (!planned) return
    this.#planned.set(project.root, planned)
    this.#tell(project)
    if (this.#refreshesLenses) await this.#connection.sendRequest(CodeLensRefreshRequest.type)
  }

  /** The rulesets of which no file is open any more. */
  forget(projects: readonly Project[]): void {
    for (const { root } of projects) {
      clearTimeout(this.#due.get(root)?.timer)
      this.#due.delete(root)
      this.#planned.delete(root)
      for (const file of this.#told.get(root) ?? []) this.#send(file, [])
      this.#told.delete(root)
    }
  }

  #tell(project: Project): void {
    const { files, root } = project
    const gone = (this.#told.get(root) ?? []).filter((file) => !files.includes(file))
    this.#told.set(root, files)
    for (const file of [...gone, ...files]) this.#sendAll(file)
  }

  /** A file that several rulesets use has the problems of all of them, each once. */
  #sendAll(file: string): void {
    const all = this.projects.all.flatMap((project) => {
      const found = this.planned(project)?.compiled.diagnostics ?? project.diagnostics
      return found.filter(({ span }) => span.file === file).map((each) => diagnosticOf(project, each))
    })
    const once = new Map(all.map((each) => [JSON.stringify(each), each]))
    this.#send(file, [...once.values()])
  }

  #send(file: string, diagnostics: ReturnType<typeof diagnosticOf>[]): void {
    void this.#connection.sendDiagnostics({ uri: uriOf(file), diagnostics })
  }
}
