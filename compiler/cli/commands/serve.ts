import { isIP } from "node:net"
import { type Command, InvalidArgumentError, Option } from "commander"
import { addSealFlags, type SealPolicy } from "../io/seal-policy.ts"
import { err, hasColor, style } from "../io/terminal.ts"
import type { Exit } from "../io/user-error.ts"

const HELP = `
POST /graphs/NAME/next takes the log of a job and answers with the next step and the outlook; POST /graphs/NAME/record gives
the record at the end. Nothing is kept between two requests. /openapi.json describes all of it, /health and /metrics are for
those who run it. A graph is read again when its file changes, or at SIGHUP; SIGTERM and SIGINT stop the service when the
requests at hand are answered.

Examples:
  $ ruleout serve kiosk_dark.graph.json
  $ ruleout serve kiosk-1.graph.json kiosk-2.graph.json --key shop.pub --port 8080
  $ curl -X POST localhost:4040/graphs/kiosk_dark/next -H 'content-type: application/json' -d '{"log":[{"answer":"24.1 V"}]}'`

interface Options extends SealPolicy {
  readonly host: string
  readonly port: number
  readonly name?: readonly string[]
  readonly proxy?: readonly string[]
  readonly body: number
  readonly rate: number
  readonly log: "info" | "warn" | "error" | "silent"
}

export function addServe(program: Command, done: (exit: Exit) => void): void {
  const command = program
    .command("serve")
    .summary("answer other shop tools over HTTP")
    .description("Serves graphs over HTTP: the log of a job goes in, the next step and the outlook come out.")
    .argument("<graph...>", "compiled graphs: of several rulesets, and several versions of each")
  addSealFlags(command)
    .option("--host <address>", "where to listen; 0.0.0.0 or :: for every network", "127.0.0.1")
    .option("--port <number>", "0 for any that is free", wholeNumberUpTo(65_535), 4040)
    .option("--name <host...>", "on this machine only: further names by which the service is called")
    .option("--proxy <address...>", "take the caller's address from these proxies", address)
    .option("--body <kB>", "the largest body of a request", wholeNumberUpTo(16_384), 256)
    .option(
      "--rate <n>",
      "requests a second from one address, 0 for any number",
      wholeNumberUpTo(1_000_000),
      50,
    )
    .addOption(
      new Option("--log <level>", "what is logged to standard output, as lines of JSON")
        .choices(["info", "warn", "error", "silent"])
        .default("info"),
    )
    .addHelpText("after", HELP)
    .action(async (graphs: string[], options: Options) => done(await serveGraphs(graphs, options)))
}

function wholeNumberUpTo(most: number): (text: string) => number {
  return (text) => {
    const n = Number(text)
    if (/^\d+$/.test(text) && n <= most) return n
    throw new InvalidArgumentError(`Give a whole number up to ${most}.`)
  }
}

/** One of the addresses of an option that takes several; `/24` after it is for a whole network. */
function address(text: string, before: readonly string[] = []): string[] {
  const [ip = "", bits, ...more] = text.split("/")
  const isNetwork =
    bits === undefined || (/^\d{1,3}$/.test(bits) && Number(bits) <= (isIP(ip) === 4 ? 32 : 128))
  if (isIP(ip) !== 0 && isNetwork && more.length === 0) return [...before, text]
  throw new InvalidArgumentError("Give an address like 10.0.0.7, or a network like 10.0.0.0/24.")
}

const LOOPBACK = ["localhost", "127.0.0.1", "::1", "[::1]"]

async function serveGraphs(files: readonly string[], options: Options): Promise<Exit> {
  const { host, port, name = [], proxy, body, rate, log, ...policy } = options
  const isLocal = LOOPBACK.includes(host) || /^127\./.test(host)
  if (!isLocal)
    err(
      `${style(hasColor(process.stderr)).warn("Warning:")} anybody who reaches this machine can ask the service. Put a proxy with TLS and a login before it.\n`,
    )
  // Loaded when it is asked for: no other command waits for the web server.
  const { serve } = await import("../serve/listen.ts")
  await serve(files, policy, {
    host,
    port,
    ...(isLocal ? { hosts: [...LOOPBACK, host, ...name.map((each) => each.toLowerCase())] } : {}),
    ...(proxy ? { proxies: proxy } : {}),
    largestBody: body * 1024,
    rate,
    log,
    logTo: process.stdout,
  })
  return 0
}
