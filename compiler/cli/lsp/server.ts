import {
  createConnection,
  type InitializeParams,
  type InitializeResult,
  LSPErrorCodes,
  Message,
  type ResponseMessage,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver/node"
import { VERSION } from "../../version.ts"
import { handleNotifications } from "./notifications.ts"
import { answerRequests, capabilities } from "./requests.ts"
import { Session } from "./session.ts"

/** A request that is taken back before it is begun is not begun. */
function cancelUndispatched(message: Message): ResponseMessage | undefined {
  if (!Message.isRequest(message)) return undefined
  const error = { code: LSPErrorCodes.RequestCancelled, message: "The editor has taken it back." }
  return { jsonrpc: "2.0", id: message.id, error }
}

/** Serves the Language Server Protocol on standard input and output until the editor says to exit. */
export function serve(): Promise<never> {
  const connection = createConnection(
    new StreamMessageReader(process.stdin),
    new StreamMessageWriter(process.stdout),
    { connectionStrategy: { cancelUndispatched } },
  )
  const session = new Session(connection)
  connection.onInitialize((params: InitializeParams): InitializeResult => {
    session.initialize(params)
    return { capabilities, serverInfo: { name: "ruleout", version: VERSION } }
  })
  handleNotifications(connection, session)
  answerRequests(connection, session)
  connection.listen()
  // The connection ends the process: on `exit`, when the editor is gone, and when its stream ends.
  return new Promise<never>(() => {})
}
