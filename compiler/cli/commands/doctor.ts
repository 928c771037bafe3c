import type { Command } from "commander"
import { targets } from "../../ship/index.ts"
import { hasColor, out, outJson, plain, type Style, style } from "../io/terminal.ts"
import { type ThisMachine, thisMachine } from "../io/this-machine.ts"
import { type Exit, exitOf } from "../io/user-error.ts"

const HELP = `
What only some commands use may be missing: it is reported, but doesn't count. Exit code 1 if something should be changed,
2 if Ruleout can't work here.

Examples:
  $ ruleout doctor
  $ ruleout doctor --json`

export function addDoctor(program: Command, done: (exit: Exit) => void): void {
  program
    .command("doctor")
    .summary("say what is missing on this machine")
    .description(
      "Checks that this machine has what Ruleout's commands need, and says how to get what is missing.",
    )
    .option("--json", "print the result as JSON")
    .addHelpText("after", HELP)
    .action(async (options: { json?: true }) => done(await doctor(options)))
}

export interface Symptom {
  readonly of: string
  readonly is: "fine" | "optional" | "warning" | "error"
  readonly says: string
  /** What to do. */
  readonly help?: string
}

async function doctor({ json }: { json?: true }): Promise<Exit> {
  const symptoms = await examine(thisMachine)
  if (json) outJson({ symptoms })
  else out(symptomsText(symptoms, style(hasColor(process.stdout))))
  const count = (level: Symptom["is"]) => symptoms.filter(({ is }) => is === level).length
  return exitOf({ errors: count("error"), warnings: count("warning") })
}

/** What is fine too, so that whoever asks for help can send all of it. */
export async function examine(machine: ThisMachine): Promise<readonly Symptom[]> {
  return [
    nodeOf(machine),
    partsOf(machine),
    folderOf(
      machine,
      ".",
      "current folder",
      "Go to a folder of yours: graphs and jobs are written to the current one.",
    ),
    folderOf(
      machine,
      machine.temporary,
      "folder for temporary files",
      "Set TMPDIR to one that can be written.",
    ),
    memoryOf(machine),
    await signingOf(machine),
    await duckDbOf(machine),
    pythonOf(machine),
    browserOf(machine),
  ]
}

function nodeOf({ node }: ThisMachine): Symptom {
  const [major = 0] = node.split(".").map(Number)
  const of = "Node"
  const newer = "Install Node 22 or 24."
  if (major < 20) return { of, is: "error", says: `${node} is too old`, help: newer }
  if (major < 22)
    return { of, is: "warning", says: `${node} works, but is past its end of life`, help: newer }
  return { of, is: "fine", says: node }
}

function partsOf({ hasPart }: ThisMachine): Symptom {
  const of = "installation"
  const parts = Object.values(targets).flatMap(({ files }) => files.flatMap(({ needs = [] }) => needs))
  const missing = parts.filter((name) => !hasPart(name))
  if (missing.length === 0) return { of, is: "fine", says: "complete" }
  return { of, is: "error", says: `is missing ${missing.join(", ")}`, help: "Install ruleout again." }
}

function folderOf({ canWrite }: ThisMachine, folder: string, of: string, help: string): Symptom {
  return canWrite(folder)
    ? { of, is: "fine", says: "can be written" }
    : { of, is: "warning", says: "can't be written", help }
}

const GB = 1024 ** 3

function memoryOf({ memory }: ThisMachine): Symptom {
  const says = `${(memory / GB).toFixed(1)} GB`
  if (memory >= 2 * GB) return { of: "memory", is: "fine", says }
  const help = "Large rulesets need 2 GB to plan: use a lower --effort here."
  return { of: "memory", is: "warning", says, help }
}

async function signingOf({ canSign }: ThisMachine): Promise<Symptom> {
  if (await canSign()) return { of: "signatures", is: "fine", says: "Ed25519" }
  return {
    of: "signatures",
    is: "optional",
    says: "no Ed25519 here",
    help: "`ship --sign` and --key need it: install Node 22 or 24.",
  }
}

async function duckDbOf({ hasDuckDb }: ThisMachine): Promise<Symptom> {
  if (await hasDuckDb()) return { of: "DuckDB", is: "fine", says: "for replay --sql" }
  return {
    of: "DuckDB",
    is: "optional",
    says: "not installed",
    help: "`replay --sql` needs it: npm install @duckdb/node-api",
  }
}

function pythonOf({ programVersion }: ThisMachine): Symptom {
  const of = "Python"
  const help = "What `ship --to python` writes runs on Python 3.9 or newer."
  const version = /\d{1,9}\.\d{1,9}(?:\.\d{1,9})?/.exec(
    programVersion(["python3", "python"], "--version") ?? "",
  )?.[0]
  if (version === undefined) return { of, is: "optional", says: "not found", help }
  const [major = 0, minor = 0] = version.split(".").map(Number)
  const isOld = major < 3 || (major === 3 && minor < 9)
  return isOld
    ? { of, is: "optional", says: `${version} is too old`, help }
    : { of, is: "fine", says: version }
}

function browserOf({ programVersion }: ThisMachine): Symptom {
  const of = "Chromium"
  const version = programVersion(["chromium", "chromium-browser", "google-chrome"], "--version")
  if (version !== undefined) return { of, is: "fine", says: version }
  const help = "Any browser opens what `ship --to page` writes; the project's own tests use this one."
  return { of, is: "optional", says: "not found", help }
}

function symptomsText(symptoms: readonly Symptom[], { good, dim, warn, bad }: Style): string {
  const paint = { fine: good, optional: dim, warning: warn, error: bad }
  return symptoms
    .map(({ of, is, says, help }) => {
      const line = `${paint[is](is.padEnd(8))}  ${plain(`${of}: ${says}`)}\n`
      return help === undefined ? line : `${line}          ${plain(help)}\n`
    })
    .join("")
}
