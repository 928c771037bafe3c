import { spawn } from "node:child_process"
import { once } from "node:events"
import { createInterface } from "node:readline"
import { afterAll, expect, test } from "vitest"
import { compile, graphText } from "../../../compiler/compile.ts"
import { main, openFolder, ruleout } from "../run.ts"

const { folder, read, put } = openFolder()
const graph = compile("seat.ruleout", () => read("seat.ruleout"), { effort: 500 }).graph!
put("seat.graph.json", graphText(graph))

const child = spawn(process.execPath, [main, "serve", "seat.graph.json", "--port", "0"], { cwd: folder })
afterAll(() => child.kill("SIGKILL"))
const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]()

/** The next line of log that says this. */
async function logged(message: string): Promise<Record<string, string>> {
  for (;;) {
    const { value, done } = await lines.next()
    if (done) throw new Error(`It ended without saying "${message}".`)
    const line = JSON.parse(value)
    if (line.msg.startsWith(message)) return line
  }
}

test("as a process: on loopback, reading a graph anew when its file changes, until it is told to stop", async () => {
  const serving = await logged("Serving at ")
  const address = serving.msg!.slice("Serving at ".length)
  expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/)
  const next = await fetch(`${address}/graphs/seat_or_board/next`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: '{"log":[{"answer":"gone"}]}',
  })
  expect(await next.json()).toMatchObject({ step: { do: "putBack" } })

  const port = new URL(address).port
  expect(ruleout(["serve", "seat.graph.json", "--port", port])).toMatchObject({
    exit: 2,
    err: expect.stringContaining(`Port ${port} of \`127.0.0.1\` is in use.`),
  })

  put("seat.graph.json", graphText({ ...graph, ruleset: { ...graph.ruleset, version: "7.0.0" } }))
  expect(await logged("reloaded")).toMatchObject({ version: "7.0.0" })
  const { graphs } = (await (await fetch(`${address}/graphs`)).json()) as { graphs: { version: string }[] }
  expect(graphs.map(({ version }) => version)).toEqual(["7.0.0"])

  child.kill("SIGTERM")
  await logged("stopped")
  const [code] = await once(child, "exit")
  expect(code).toBe(0)
})
