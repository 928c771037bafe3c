import type { Declaration } from "../syntax-tree.ts"

/**
 * The language as plain data: which clauses a declaration may hold, how each is written, and which words are reserved.
 * The parser takes its reserved words and its help from here, and so does completion; a test parses each example.
 */
export interface ClauseSpec {
  /** The words that begin it, like `comeback costs`. */
  readonly words: string
  /** The form as the reference writes it. */
  readonly form: string
  /** One clause as it would stand in a ruleset. */
  readonly example: string
  readonly says: string
  /** May stand more than once in a declaration. */
  readonly repeats?: true
}

export interface DeclarationSpec {
  readonly kind: Declaration["kind"]
  readonly keyword: string
  /** What stands between the keyword and the clauses. */
  readonly head: string
  /** A whole declaration. */
  readonly example: string
  readonly says: string
  readonly clauses: readonly ClauseSpec[]
}

function clause(words: string, form: string, example: string, says: string): ClauseSpec {
  return { words, form, example, says }
}

const takes = clause("takes", "takes N min", "takes 4 min", "how long it takes")
const trust = clause("trust", "trust N%", "trust 80%", "how often what the owner says is so")
const behind = clause(
  "behind",
  "behind SETUP, …",
  "behind rear_cover",
  "what must be undone before this is reached",
)

const yesOrNo = clause("yes or no", "yes or no", "yes or no", "is answered yes or no")
const oneOf = clause("one of", "one of a, b, c", "one of dark, dim, bright", "is one of these words")
const quantity = clause(
  "in",
  "in UNIT from N to N [by N]",
  "in V from 0 to 30 by 0.01",
  "is a number: its unit, its range, and what the meter resolves",
)
const verdicts = {
  "rule out": clause(
    "rule out",
    "rule out FAULTS [N%]",
    "rule out supply_low 90%",
    "none of these faults is there; with a percentage, as far as the rule is trusted",
  ),
  "leaves only": clause(
    "leaves only",
    "leaves only FAULTS [N%]",
    "leaves only any in panel, supply_low",
    "one of these faults is there; with a percentage, as far as the rule is trusted",
  ),
  because: clause(
    "because",
    'because "text"',
    'because "a rail inside 5 % clears it"',
    "why, for whoever reads it",
  ),
}

export const DECLARATIONS: readonly DeclarationSpec[] = [
  {
    kind: "ruleset",
    keyword: "ruleset",
    head: 'NAME "title"',
    example: 'ruleset kiosk_dark "Ticket kiosk: powered, screen dark"',
    says: "what this program is for, and the money it reckons with",
    clauses: [
      clause("version", 'version "semver"', 'version "1.2.0"', "the version of the rules"),
      clause("money", "money CODE", "money EUR", "the currency, by its ISO 4217 code"),
      clause("bench", "bench N per hour", "bench 48 per hour", "what an hour at the bench costs"),
      clause(
        "waiting",
        "waiting N per hour",
        "waiting 5 per hour",
        "what an hour costs in which the machine waits and the bench is free",
      ),
      clause(
        "comeback costs",
        "comeback costs N",
        "comeback costs 90",
        "what it costs when the machine comes back with its complaint",
      ),
      clause("handover costs", "handover costs N", "handover costs 150", "what handing the machine on costs"),
      clause("trust", "trust N%", "trust 90%", "how sure you must be that nothing is wrong before you close"),
      clause(
        "second fault",
        "second fault N%",
        "second fault 3%",
        "how many of these machines have two of the listed faults",
      ),
      clause("unlisted", "unlisted N%", "unlisted 2%", "how often the cause is one that isn't listed"),
    ],
  },
  {
    kind: "use",
    keyword: "use",
    head: '"relative/path.ruleout"',
    example: 'use "shared/supply.ruleout"',
    says: "brings in all that another file declares",
    clauses: [],
  },
  {
    kind: "part",
    keyword: "part",
    head: 'NAME "label"',
    example: 'part supply "24 V supply"',
    says: "something that can be replaced",
    clauses: [
      clause("price", "price N", "price 70", "what a new one costs"),
      clause("spare", "spare", "spare", "the shop has a known-good one to fit"),
      behind,
      clause("fit takes", "fit takes N min", "fit takes 20 min", "how long fitting a new one takes"),
      clause("fit costs", "fit costs N", "fit costs 4", "what fitting a new one costs beside its price"),
      clause(
        "fit waits",
        "fit waits N min|h",
        "fit waits 48 h",
        "how long the machine waits for a new one while the bench is free",
      ),
    ],
  },
  {
    kind: "setup",
    keyword: "setup",
    head: 'NAME "label"',
    example: 'setup ribbon "panel ribbon seating"',
    says: "something that can be done again without buying anything: a seat, a connection, a setting",
    clauses: [
      clause("of", "of PART", "of panel", "swapping that part does this again"),
      behind,
      clause("redo cures", "redo cures N%", "redo cures 85%", "how often redoing it cures a fault in it"),
    ],
  },
  {
    kind: "complaint",
    keyword: "complaint",
    head: 'NAME "text"',
    example: 'complaint dark "the screen stays dark"',
    says: "what brought the machine in, and what is looked for after every change",
    clauses: [
      clause("takes", "takes N min", "takes 1 min", "how long one try of it takes"),
      clause("tries", "tries N", "tries 3", "how many tries a look has, where the test doesn't say"),
    ],
  },
  {
    kind: "fault",
    keyword: "fault",
    head: 'NAME "label"',
    example: 'fault supply_low "supply sags under load"',
    says: "something that can be wrong, and where",
    clauses: [
      clause("in", "in PLACE", "in supply", "the part or setup that it is in"),
      clause("odds", "odds N", "odds 6", "how frequent it is beside the others"),
      {
        ...clause(
          "shows",
          "shows READING CONDITION [N%]",
          "shows rail below 22.7 V 90%",
          "what is found while it is there",
        ),
        repeats: true,
      },
      clause("remedy", 'remedy "text"', 'remedy "Seat both ends."', "how it is repaired"),
      clause("fix costs", "fix costs N", "fix costs 12", "what fixing it costs beside the time"),
      clause("fix takes", "fix takes N min", "fix takes 15 min", "how long fixing it takes"),
      clause(
        "fix waits",
        "fix waits N min|h",
        "fix waits 24 h",
        "how long the machine then waits while the bench is free",
      ),
      {
        ...clause(
          "eased by",
          "eased by SETUP [N%]",
          "eased by rear_cover 30%",
          "a setup that cures it too when it is redone",
        ),
        repeats: true,
      },
    ],
  },
  {
    kind: "told",
    keyword: "told",
    head: 'NAME "question"',
    example: 'told moved "Was it moved just before?" yes or no',
    says: "a question to the owner",
    clauses: [
      yesOrNo,
      oneOf,
      quantity,
      clause(
        "normally",
        "normally CONDITION N%",
        "normally is yes 20%",
        "what owners of healthy machines say",
      ),
      trust,
      takes,
    ],
  },
  {
    kind: "reading",
    keyword: "reading",
    head: 'NAME "question"',
    example: 'reading glow "Any glow from the backlight?" yes or no',
    says: "something read off the machine as it stands",
    clauses: [
      yesOrNo,
      oneOf,
      quantity,
      clause(
        "normally",
        "normally CONDITION N%",
        "normally is yes 98%",
        "what is found on a healthy machine",
      ),
    ],
  },
  {
    kind: "test",
    keyword: "test",
    head: 'NAME "instruction"',
    example: 'test meter_rail "Meter the rail at the driver plug"',
    says: "something to do at the bench",
    clauses: [
      clause("reads", "reads R, …", "reads rail", "the readings that it takes"),
      clause("swaps", "swaps PART, …", "swaps panel", "fits known-good parts"),
      clause("redoes", "redoes SETUP [N%], …", "redoes ribbon 85%", "redoes a setup"),
      clause(
        "removes",
        "removes PART, …",
        "removes driver",
        "tries the machine without parts, then puts them back in",
      ),
      takes,
      clause(
        "waits",
        "waits N min|h",
        "waits 2 h",
        "how long the machine works, cools or dries alone while the bench is free",
      ),
      clause("costs", "costs N", "costs 3", "what it costs beside the time"),
      { ...clause("risks", "risks PART N%", "risks panel 2%", "how often it breaks a part"), repeats: true },
      clause("power", "power on / power off", "power off", "whether the machine is on meanwhile"),
      { ...clause("needs", 'needs "tool"', 'needs "multimeter"', "a tool"), repeats: true },
      clause("tries", "tries N", "tries 3", "how often the complaint is looked for after it"),
      clause("after", "after TEST, …", "after meter_rail", "tests that must all be done before"),
      clause(
        "after any of",
        "after any of TEST, …",
        "after any of meter_rail, look_glow",
        "tests of which one must be done before",
      ),
      clause("only if", "only if CONDITION", "only if glow is yes", "what must be known before"),
      {
        ...clause(
          "caution",
          'caution "text"',
          'caution "Live plug: one hand, insulated probes."',
          "what can hurt",
        ),
        repeats: true,
      },
    ],
  },
  {
    kind: "rule",
    keyword: "when",
    head: "CONDITION",
    example: "when glow is yes",
    says: "what findings rule out",
    clauses: [verdicts["rule out"], verdicts["leaves only"], verdicts.because],
  },
  {
    kind: "rule",
    keyword: "rule",
    head: "NAME: when CONDITION",
    example: "rule rail_fine: when glow is yes",
    says: "a rule with a name",
    clauses: [verdicts["rule out"], verdicts["leaves only"], verdicts.because],
  },
  {
    kind: "never",
    keyword: "never",
    head: "CONDITION",
    example: "never glow is yes and rail below 9 V",
    says: "findings that cannot occur together",
    clauses: [],
  },
  {
    kind: "proof",
    keyword: "proof",
    head: '"text"',
    example: 'proof "Power it up cold"',
    says: "what must hold before the machine goes back",
    clauses: [
      clause("times", "times N", "times 5", "how often in a row"),
      takes,
      clause("expects", "expects READING CONDITION", "expects rail above 22.8 V", "what must then be read"),
      clause("for", "for PLACE, …", "for panel, ribbon", "only where something was done to one of these"),
    ],
  },
]

/** Words of conditions and of the insides of clauses. */
const INNER =
  "and or not is one of below above at least most between outside yes no from to by per hour on off any except only if out cures costs takes"

/** The words that begin a declaration. */
export const DECLARATION_WORDS: readonly string[] = DECLARATIONS.map((spec) => spec.keyword)

/** All words of the language. */
export const WORDS: readonly string[] = [
  ...new Set([
    ...DECLARATION_WORDS,
    ...DECLARATIONS.flatMap((spec) => spec.clauses.flatMap((item) => item.words.split(" "))),
    ...INNER.split(" "),
  ]),
]

/**
 * Words that came with version 0.2. Rulesets written before may use them as names, so each is a word of the language
 * only in the declarations that have a clause with it, and there only where no name can stand.
 */
export const CONTEXTUAL_WORDS: ReadonlySet<string> = new Set(
  "waiting second unlisted fit waits eased removes".split(" "),
)

/** The reserved words: none of them can be a name; each can be a value of `one of`. */
export const KEYWORDS: readonly string[] = WORDS.filter((word) => !CONTEXTUAL_WORDS.has(word))

/** What may stand behind the name of a reading in a condition. */
export const COMPARISONS: readonly string[] = [
  "is",
  "is not",
  "is one of",
  "below",
  "above",
  "at least",
  "at most",
  "between",
  "outside",
]
