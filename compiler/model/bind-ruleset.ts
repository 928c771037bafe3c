import { replace } from "../diagnostics/collector.ts"
import type { ComplaintDecl, Declaration, RulesetDecl, Tree } from "../syntax/syntax-tree.ts"
import { money, percentage } from "./bind-quantities.ts"
import type { Report } from "./codes.ts"
import { toNumber } from "./fraction.ts"
import type { Model, Ruleset } from "./model.ts"

/** Defaults of semantics.md, "Cost and the best plan"; comeback and handover in hours at the bench. */
const BENCH = 60
const COMEBACK_HOURS = 2
const HANDOVER_HOURS = 4
/** ISO 4217's code for a transaction that involves no currency. */
const NO_CURRENCY = "XXX"
const NO_VERSION = "0.0.0"

/** The grammar of Semantic Versioning 2.0.0, from its own FAQ. */
const SEMVER =
  /^(0|[1-9]\d*)\.(0|[1-9]\d*)\.(0|[1-9]\d*)(?:-((?:0|[1-9]\d*|\d*[a-zA-Z-][0-9a-zA-Z-]*)(?:\.(?:0|[1-9]\d*|\d*[a-zA-Z-][0-9a-zA-Z-]*))*))?(?:\+([0-9a-zA-Z-]+(?:\.[0-9a-zA-Z-]+)*))?$/

export function bindRuleset(decls: readonly RulesetDecl[], report: Report): Ruleset | undefined {
  const decl = decls[0]
  if (decl === undefined) return undefined
  onlyOne(decls, "ruleset", report)
  const bench = money(decl.bench, "bench", report) ?? BENCH
  const ruleset = {
    version: version(decl, report),
    money: currency(decl, report),
    bench,
    comeback: money(decl.comeback, "comeback costs", report) ?? COMEBACK_HOURS * bench,
    handover: money(decl.handover, "handover costs", report) ?? HANDOVER_HOURS * bench,
    trust: toNumber(percentage(decl.trust, "trust", report) ?? { top: 0n, bottom: 1n }),
    span: decl.span,
  }
  const name = needed(decl, decl.name, "its name", 'ruleset NAME "title"', report)
  const title = needed(decl, decl.title, "its title", 'ruleset NAME "title"', report)
  return name && title && { name: name.text, title: title.value, ...ruleset }
}

export function bindComplaint(
  decls: readonly ComplaintDecl[],
  report: Report,
): Model["complaint"] | undefined {
  const decl = decls[0]
  if (decl === undefined) return undefined
  onlyOne(decls, "complaint", report)
  const name = needed(decl, decl.name, "its name", 'complaint NAME "text"', report)
  const text = needed(decl, decl.text, "its text", 'complaint NAME "text"', report)
  return name && text && { name: name.text, text: text.value, span: decl.span }
}

/** Something that a declaration cannot do without; silent where the parser has already said that it is broken. */
export function needed<T>(
  decl: {
    readonly kind: string
    readonly keyword: RulesetDecl["keyword"]
    readonly whole: boolean
    readonly name?: { readonly text: string }
  },
  value: T | undefined,
  what: string,
  form: string,
  report: Report,
): T | undefined {
  if (value !== undefined) return value
  if (!decl.whole) return report.giveUp()
  const called = decl.name === undefined ? `This ${decl.kind}` : `\`${decl.name.text}\``
  return report.say("missing-clause", decl.keyword, `${called} lacks ${what}.`, {
    help: `Write \`${form}\`.`,
  })
}

const NEEDED = [
  ["ruleset", 'ruleset NAME "title"'],
  ["complaint", 'complaint NAME "what the customer sees"'],
  ["fault", 'fault NAME "label" in PLACE odds N'],
] as const

/** What no program can do without, in one finding where several are missing: it has only the one place, the start. */
export function reportMissing(declarations: readonly Declaration[], root: Tree, report: Report): void {
  const kinds = new Set(declarations.map(({ kind }) => kind))
  const missing = NEEDED.filter(([kind]) => !kinds.has(kind))
  if (missing.length === 0) return
  const list = missing.map(([kind]) => `no ${kind}`)
  const all = list.length === 1 ? list[0] : `${list.slice(0, -1).join(", ")} and ${list.at(-1)}`
  report.say(
    "missing-declaration",
    root.declarations[0]?.keyword ?? { file: root.file, start: 0, end: 0 },
    `The program has ${all}.`,
    {
      help:
        missing.length === NEEDED.length && declarations.length > 0
          ? "A file like this is for a `use`: check the ruleset that uses it."
          : `Add ${missing.map(([, form]) => `\`${form}\``).join(" and ")}.`,
    },
  )
}

function onlyOne(decls: readonly (RulesetDecl | ComplaintDecl)[], kind: string, report: Report): void {
  const [first, ...more] = decls
  for (const { keyword } of more) {
    report.say("doubled-declaration", keyword, `A second ${kind} is declared.`, {
      labels: first === undefined ? [] : [{ span: first.keyword, text: `the first ${kind}` }],
      help: `A program has exactly one ${kind}: remove one of the two.`,
    })
  }
}

function version(decl: RulesetDecl, report: Report): string {
  const text = decl.version
  if (text === undefined) return NO_VERSION
  if (!SEMVER.test(text.value)) {
    const isShort = /^\d+(?:\.\d+)?$/.test(text.value)
    const whole = isShort ? `${text.value}.0.0`.split(".").slice(0, 3).join(".") : undefined
    report.say("bad-version", text.span, `\`${text.value}\` is not a version of three numbers.`, {
      edits: whole === undefined ? [] : [replace(text.span, `"${whole}"`, `Write \`${whole}\``)],
      help: 'Write it like `version "1.2.0"`: major, minor and patch, as Semantic Versioning 2.0.0 has it.',
    })
  }
  return text.value
}

/** Currencies by the names that come to mind, with their codes of ISO 4217. */
const CODES_OF: Readonly<Record<string, string>> = {
  euro: "EUR",
  euros: "EUR",
  dollar: "USD",
  dollars: "USD",
  pound: "GBP",
  pounds: "GBP",
  franc: "CHF",
  francs: "CHF",
}

function currency(decl: RulesetDecl, report: Report): string {
  const code = decl.money
  if (code === undefined) return NO_CURRENCY
  if (!/^[A-Z]{3}$/.test(code.text)) {
    const upper = CODES_OF[code.text.toLowerCase()] ?? code.text.toUpperCase()
    report.say("bad-money", code.span, `\`${code.text}\` is not a currency code.`, {
      help: "Write the three capital letters of ISO 4217, like `EUR`.",
      edits: /^[A-Z]{3}$/.test(upper) ? [replace(code.span, upper)] : [],
    })
  }
  return code.text
}
