import type { ComplaintDecl, PartDecl, RulesetDecl, SetupDecl } from "../syntax-tree.ts"
import { type DeclarationSpec, declarationSpec } from "./declaration-specs.ts"
import { behind, gate, picture, takes, tries } from "./shared-clauses.ts"

export const ruleset = declarationSpec<RulesetDecl>(
  "ruleset",
  "title",
  'ruleset kiosk_dark "Ticket kiosk: powered, screen dark"',
  "what this program is for, and the money it calculates in",
  {
    version: {
      words: "version",
      argument: "text",
      form: 'version "semver"',
      expected: "a version in quotes",
      example: 'version "1.2.0"',
      says: "the version of the rules",
      place: "own",
    },
    language: {
      words: "language",
      argument: "language",
      example: "language en",
      says: "the language of its own texts, by its BCP 47 tag; `en` by default",
      place: "own",
    },
    money: {
      words: "money",
      argument: "currency",
      example: "money EUR",
      says: "the currency, by its ISO 4217 code",
      place: "own",
    },
    bench: {
      words: "bench",
      argument: "hourly",
      example: "bench 48 per hour",
      says: "what an hour at the bench costs",
      place: "own",
    },
    waiting: {
      words: "waiting",
      argument: "hourly",
      example: "waiting 5 per hour",
      says: "what an hour costs in which the machine waits and the bench is free",
      place: "own",
    },
    comeback: {
      words: "comeback costs",
      argument: "number",
      expected: "an amount",
      example: "comeback costs 90",
      says: "what it costs when the machine comes back with its complaint",
      place: "own",
    },
    handover: {
      words: "handover costs",
      argument: "number",
      expected: "an amount",
      example: "handover costs 150",
      says: "what it costs to give the job to somebody else",
      place: "own",
    },
    trust: {
      words: "trust",
      argument: "percent",
      example: "trust 90%",
      says: "how sure it must be that nothing is wrong any more before the job is closed",
      place: "own",
    },
    second: {
      words: "second fault",
      argument: "percent",
      example: "second fault 3%",
      says: "how many of these machines have two of the listed faults",
      place: "own",
    },
    unlisted: {
      words: "unlisted",
      argument: "percent",
      example: "unlisted 2%",
      says: "how many of these machines have something wrong that isn't listed",
      place: "own",
    },
  },
)

export const use: DeclarationSpec = {
  kind: "use",
  keyword: "use",
  head: '"relative/path.ruleout"',
  example: 'use "shared/supply.ruleout"',
  says: "brings in everything that another file declares",
  clauses: [],
}

const fitGate = gate("fit ", " a new one is fitted")

export const part = declarationSpec<PartDecl>(
  "part",
  "label",
  'part supply "24 V supply"',
  "something that can be replaced",
  {
    price: {
      words: "price",
      argument: "number",
      expected: "a price",
      example: "price 70",
      says: "what a new one costs",
      implied: "number",
    },
    spare: {
      words: "spare",
      argument: "nothing",
      example: "spare",
      says: "the shop has a known-good one to fit",
    },
    behind,
    fitTakes: {
      words: "fit takes",
      argument: "minutes",
      example: "fit takes 20 min",
      says: "how long it takes to fit a new one",
      place: "below",
    },
    fitCosts: {
      words: "fit costs",
      argument: "number",
      expected: "an amount",
      example: "fit costs 4",
      says: "what it costs to fit a new one, besides its price",
      place: "below",
    },
    fitWaits: {
      words: "fit waits",
      argument: "wait",
      example: "fit waits 48 h",
      says: "how long the machine waits for a new one while the bench is free",
      place: "below",
    },
    fitAfter: fitGate.after,
    fitAfterAny: fitGate.afterAny,
    fitOnlyIf: fitGate.onlyIf,
    pictures: picture,
  },
)

export const setup = declarationSpec<SetupDecl>(
  "setup",
  "label",
  'setup ribbon "panel ribbon seating"',
  "something that can be redone without buying anything: a seat, a connection, a setting",
  {
    of: {
      words: "of",
      argument: "name",
      names: ["part"],
      example: "of panel",
      says: "swapping that part redoes this",
      implied: "name",
    },
    behind,
    cures: {
      words: "redo cures",
      argument: "percent",
      example: "redo cures 85%",
      says: "how often redoing it cures a fault in it",
      implied: "percent",
    },
    pictures: picture,
  },
)

export const complaint = declarationSpec<ComplaintDecl>(
  "complaint",
  "text",
  'complaint dark "the screen stays dark"',
  "what brought the machine in, and what is looked for after every change",
  {
    takes: { ...takes, example: "takes 1 min", says: "how long one try of it takes" },
    tries: { ...tries, says: "how many tries a look for it has, if the test doesn't say" },
  },
)
