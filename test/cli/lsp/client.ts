import { spawn } from "node:child_process"
import { readFileSync, writeFileSync } from "node:fs"
import { join } from "node:path"
import { pathToFileURL } from "node:url"
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from "vscode-jsonrpc/node"
import type { Diagnostic, InitializeResult, Position, Range, RegistrationParams } from "vscode-languageserver"
import { Lines } from "../../../compiler/diagnostics/line-index.ts"
import { main } from "../run.ts"

/** An editor as far as the protocol sees one: it keeps texts, asks, and notes what it is told. */
export class Client {
  readonly #folder: string
  readonly #process = spawn(process.execPath, [main, "lsp", "--stdio"], { stdio: "pipe" })
  readonly #connection = createMessageConnection(
    new StreamMessageReader(this.#process.stdout),
    new StreamMessageWriter(this.#process.stdin),
  )
  readonly #texts = new Map<string, string>()
  readonly #versions = new Map<string, number>()
  readonly diagnostics = new Map<string, readonly Diagnostic[]>()
  /** Work-done progress as it was told: `begin`, `report`, `end` with their titles and messages. */
  readonly progress: { token: string; kind: string; title?: string; message?: string }[] = []
  readonly #waiting = new Set<() => void>()
  /** Patterns of the files that the server wants to be told of. */
  readonly watched: string[] = []
  refreshed = 0
  /** Of the workspace. */
  folders: readonly { readonly uri: string; readonly name: string }[]

  constructor(folder: string) {
    this.#folder = folder
    this.folders = [{ uri: pathToFileURL(folder).href, name: "shop" }]
    this.#connection.onNotification("textDocument/publishDiagnostics", ({ uri, diagnostics }) => {
      this.diagnostics.set(uri, diagnostics)
      this.#wake()
    })
    this.#connection.onNotification("$/progress", ({ token, value }) => {
      this.progress.push({ ...value, token })
      this.#wake()
    })
    this.#connection.onRequest("window/workDoneProgress/create", () => null)
    this.#connection.onRequest("client/registerCapability", ({ registrations }: RegistrationParams) => {
      for (const { registerOptions } of registrations)
        this.watched.push(
          ...(registerOptions?.watchers ?? []).map(({ globPattern }: { globPattern: string }) => globPattern),
        )
      return null
    })
    this.#connection.onRequest("workspace/workspaceFolders", () => this.folders)
    this.#connection.onRequest("workspace/codeLens/refresh", () => {
      this.refreshed++
      this.#wake()
      return null
    })
    this.#connection.listen()
  }

  async initialize(options: object = {}): Promise<InitializeResult> {
    const result = await this.ask<InitializeResult>("initialize", {
      processId: process.pid,
      rootUri: null,
      workspaceFolders: this.folders,
      initializationOptions: options,
      capabilities: {
        textDocument: {
          completion: { completionItem: { snippetSupport: true } },
          hover: { contentFormat: ["markdown"] },
        },
        workspace: {
          codeLens: { refreshSupport: true },
          didChangeWatchedFiles: { dynamicRegistration: true },
          workspaceFolders: true,
        },
        window: { workDoneProgress: true },
      },
    })
    await this.tell("initialized", {})
    return result
  }

  ask<T>(method: string, params: object | null): Promise<T> {
    return this.#connection.sendRequest(method, params)
  }

  /** A request that is taken back at once; how it ends. */
  async cancelled(method: string, params: object): Promise<unknown> {
    const { CancellationTokenSource } = await import("vscode-jsonrpc/node")
    const source = new CancellationTokenSource()
    const answer = this.#connection.sendRequest(method, params, source.token)
    source.cancel()
    return answer.then(
      () => "answered",
      ({ code }) => code,
    )
  }

  tell(method: string, params: object): Promise<void> {
    return this.#connection.sendNotification(method, params)
  }

  uri(name: string): string {
    return pathToFileURL(join(this.#folder, name)).href
  }

  write(name: string, text: string): void {
    writeFileSync(join(this.#folder, name), text)
  }

  read(name: string): string {
    return readFileSync(join(this.#folder, name), "utf8")
  }

  text(name: string): string {
    return this.#texts.get(this.uri(name)) ?? this.read(name)
  }

  async open(name: string, text = this.read(name)): Promise<void> {
    const uri = this.uri(name)
    this.#texts.set(uri, text)
    this.#versions.set(uri, 1)
    await this.tell("textDocument/didOpen", {
      textDocument: { uri, languageId: "ruleout", version: 1, text },
    })
  }

  /** Types over the first stretch that reads `old`, as an incremental change. */
  async type(name: string, old: string, fresh: string): Promise<void> {
    const uri = this.uri(name)
    const range = this.range(name, old)
    this.#texts.set(
      uri,
      this.text(name).replace(old, () => fresh),
    )
    const version = this.#versions.get(uri)! + 1
    this.#versions.set(uri, version)
    await this.tell("textDocument/didChange", {
      textDocument: { uri, version },
      contentChanges: [{ range, text: fresh }],
    })
  }

  save(name: string): Promise<void> {
    return this.tell("textDocument/didSave", { textDocument: { uri: this.uri(name) } })
  }

  close(name: string): Promise<void> {
    return this.tell("textDocument/didClose", { textDocument: { uri: this.uri(name) } })
  }

  /** A document and a place in it: where `text` begins, and so many characters on. */
  at(name: string, text: string, on = 0): { textDocument: { uri: string }; position: Position } {
    const offset = this.#find(name, text) + on
    return { textDocument: { uri: this.uri(name) }, position: positionIn(this.text(name), offset) }
  }

  range(name: string, text: string): Range {
    const start = this.#find(name, text)
    const source = this.text(name)
    return { start: positionIn(source, start), end: positionIn(source, start + text.length) }
  }

  /** What stands in a range of a document. */
  slice(uri: string, { start, end }: Range): string {
    const text = this.#texts.get(uri)!
    const lines = new Lines(text)
    const offset = (at: Position) => lines.bounds(at.line + 1).start + at.character
    return text.slice(offset(start), offset(end))
  }

  /** When something that the server tells has come. */
  async until(isSo: () => boolean): Promise<void> {
    while (!isSo()) await new Promise<void>((resolve) => this.#waiting.add(resolve))
  }

  codes(name: string): (string | number | undefined)[] | undefined {
    return this.diagnostics.get(this.uri(name))?.map(({ code }) => code)
  }

  /** As an editor closes; the exit code of the server. */
  async exit(): Promise<number | null> {
    const ended = new Promise<number | null>((resolve) => this.#process.on("exit", resolve))
    await this.ask("shutdown", null)
    await this.tell("exit", {})
    this.#connection.dispose()
    return ended
  }

  #find(name: string, text: string): number {
    const offset = this.text(name).indexOf(text)
    if (offset < 0) throw new Error(`\`${text}\` isn't in ${name}`)
    return offset
  }

  #wake(): void {
    const waiting = [...this.#waiting]
    this.#waiting.clear()
    for (const resolve of waiting) resolve()
  }
}

function positionIn(text: string, offset: number): Position {
  const { line, column } = new Lines(text).at(offset)
  return { line: line - 1, character: column - 1 }
}
