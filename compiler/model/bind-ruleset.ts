import { replace } from "../diagnostics/collector.ts"
import { MOST_TRIES } from "../run/check.ts"
import type {
  ComplaintDecl,
  Declaration,
  Name,
  Quantity,
  RulesetDecl,
  Text,
  Tree,
} from "../syntax/syntax-tree.ts"
import { listed, listedNames } from "../wording/sentence.ts"
import { allRead } from "./all-read.ts"
import { minutes, money, percentage, times } from "./bind-quantities.ts"
import type { Report } from "./codes.ts"
import { add, compare, toNumber, whole } from "./fraction.ts"
import { languageOf } from "./language-tag.ts"
import type { Complaint, Ruleset } from "./model.ts"

/** Defaults of the reference's formulas.md, "Cost"; comeback and handover in hours at the bench. */
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
  const { version, money: currency, comeback, handover, waiting, trust, second, unlisted, ...rest } = decl
  const { bench: hourly, language: tag, ...head } = rest
  const language = tag && languageOf(tag, report)
  allRead(head)
  const bench = money(hourly, "bench", report) ?? BENCH
  const ruleset = {
    ...(language && { language }),
    version: versionOf(version, report),
    money: currencyOf(currency, report),
    bench,
    comeback: money(comeback, "comeback costs", report) ?? COMEBACK_HOURS * bench,
    handover: money(handover, "handover costs", report) ?? HANDOVER_HOURS * bench,
    waiting: money(waiting, "waiting", report) ?? 0,
    trust: toNumber(percentage(trust, "trust", report) ?? whole(0)),
    ...hedge(second, unlisted, report),
    span: decl.span,
  }
  const name = required(decl, decl.name, "its name", 'ruleset NAME "title"', report)
  const title = required(decl, decl.title, "its title", 'ruleset NAME "title"', report)
  return name && title && { name: name.text, title: title.value, ...ruleset }
}

/** The chances of what one listed fault doesn't explain. */
function hedge(
  secondFault: Quantity | undefined,
  notListed: Quantity | undefined,
  report: Report,
): Pick<Ruleset, "second" | "unlisted" | "hedged"> {
  const second = percentage(secondFault, "second fault", report) ?? whole(0)
  const unlisted = percentage(notListed, "unlisted", report) ?? whole(0)
  if (secondFault !== undefined && notListed !== undefined && compare(add(second, unlisted), whole(1)) > 0) {
    const inOrder = secondFault.span.start < notListed.span.start
    const [first, last] = inOrder ? [secondFault, notListed] : [notListed, secondFault]
    report.say("beyond-hundred", last.span, "`second fault` and `unlisted` add up to more than 100%.", {
      labels: [{ span: first.span, text: "with this" }],
      help: "What is left of 100% is the share of machines with one listed fault: lower one of the two.",
    })
  }
  return {
    second: toNumber(second),
    unlisted: toNumber(unlisted),
    hedged: secondFault !== undefined || notListed !== undefined,
  }
}

export function bindComplaint(decls: readonly ComplaintDecl[], report: Report): Complaint | undefined {
  const decl = decls[0]
  if (decl === undefined) return undefined
  onlyOne(decls, "complaint", report)
  const name = required(decl, decl.name, "its name", 'complaint NAME "text"', report)
  const text = required(decl, decl.text, "its text", 'complaint NAME "text"', report)
  const { takes, tries, ...head } = decl
  allRead(head)
  const perTry = minutes(takes, "takes", report) ?? 0
  const often = times(tries, "tries", report, MOST_TRIES) ?? 1
  return name && text && { name: name.text, text: text.value, minutes: perTry, tries: often, span: decl.span }
}

/** Something that a declaration cannot do without; silent where the parser has already said that it is broken. */
export function required<T>(
  decl: {
    readonly kind: string
    readonly keyword: RulesetDecl["keyword"]
    readonly whole: boolean
    readonly name?: { readonly text: string }
  },
  value: T | undefined,
  what: string,
  form: string | readonly string[],
  report: Report,
): T | undefined {
  if (value !== undefined) return value
  if (!decl.whole) return report.giveUp()
  const called = decl.name === undefined ? `This ${decl.kind}` : `\`${decl.name.text}\``
  return report.say("missing-clause", decl.keyword, `${called} is missing ${what}.`, {
    help: `Write ${listedNames([form].flat(), "or")}.`,
  })
}

const NEEDED = [
  ["ruleset", 'ruleset NAME "title"'],
  ["complaint", 'complaint NAME "what the customer sees"'],
  ["fault", 'fault NAME "label" in PLACE odds N'],
] as const

/** What no program can do without, in one diagnostic where several are missing: it has only the one place, the start. */
export function reportMissing(declarations: readonly Declaration[], root: Tree, report: Report): void {
  const kinds = new Set(declarations.map(({ kind }) => kind))
  const missing = NEEDED.filter(([kind]) => !kinds.has(kind))
  if (missing.length === 0) return
  const list = missing.map(([kind]) => `no ${kind}`)
  report.say(
    "missing-declaration",
    root.declarations[0]?.keyword ?? { file: root.file, start: 0, end: 0 },
    `The program has ${listed(list)}.`,
    {
      help:
        missing.length === NEEDED.length && declarations.length > 0
          ? "A file like this is for `use`: check the ruleset that uses it."
          : `Add ${listedNames(missing.map(([, form]) => form))}.`,
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

function versionOf(text: Text | undefined, report: Report): string {
  if (text === undefined) return NO_VERSION
  if (!SEMVER.test(text.value)) {
    const isShort = /^\d+(?:\.\d+)?$/.test(text.value)
    const whole = isShort ? `${text.value}.0.0`.split(".").slice(0, 3).join(".") : undefined
    report.say("bad-version", text.span, `\`${text.value}\` isn't a version of three numbers.`, {
      edits: whole === undefined ? [] : [replace(text.span, `"${whole}"`, `Write \`${whole}\``)],
      help: 'Write it like `version "1.2.0"`: major, minor and patch, as in Semantic Versioning 2.0.0.',
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

function currencyOf(code: Name | undefined, report: Report): string {
  if (code === undefined) return NO_CURRENCY
  if (!/^[A-Z]{3}$/.test(code.text)) {
    const upper = CODES_OF[code.text.toLowerCase()] ?? code.text.toUpperCase()
    report.say("bad-money", code.span, `\`${code.text}\` isn't a currency code.`, {
      help: "Write the three capital letters of ISO 4217, like `EUR`.",
      edits: /^[A-Z]{3}$/.test(upper) ? [replace(code.span, upper)] : [],
    })
  }
  return code.text
}
