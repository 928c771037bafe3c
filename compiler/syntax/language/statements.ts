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
    "rule out FAULTS",
    "rule out supply_low",
    "these faults cannot be the cause",
  ),
  "leaves only": clause(
    "leaves only",
    "leaves only FAULTS",
    "leaves only any in panel",
    "no other fault can be the cause",
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
        "comeback costs",
        "comeback costs N",
        "comeback costs 90",
        "what a wrong verdict costs beside the part",
      ),
      clause("handover costs", "handover costs N", "handover costs 150", "what handing the machine on costs"),
      clause("trust", "trust N%", "trust 90%", "how sure a verdict must be"),
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
      clause("redo cures", "redo cures N%", "redo cures 85%", "how often doing it again mends a fault in it"),
    ],
  },
  {
    kind: "complaint",
    keyword: "complaint",
    head: 'NAME "text"',
    example: 'complaint dark "the screen stays dark"',
    says: "what brought the machine in",
    clauses: [],
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
      clause("remedy", 'remedy "text"', 'remedy "Seat both ends."', "what mends it, told with the verdict"),
      clause("fix costs", "fix costs N", "fix costs 12", "what mending it costs, told with the verdict"),
      clause(
        "fix takes",
        "fix takes N min",
        "fix takes 15 min",
        "how long mending it takes, told with the verdict",
      ),
    ],
  },
  {
    kind: "told",
    keyword: "told",
    head: 'NAME "question"',
    example: 'told moved "Was it moved just before?" yes or no',
    says: "a question to the owner",
    clauses: [yesOrNo, oneOf, quantity, trust, takes],
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
      clause("swaps", "swaps PART", "swaps panel", "fits a known-good part"),
      clause("redoes", "redoes SETUP [N%], …", "redoes ribbon 85%", "does a setup again"),
      takes,
      clause("costs", "costs N", "costs 3", "what it costs beside the time"),
      { ...clause("risks", "risks PART N%", "risks panel 2%", "how often it breaks a part"), repeats: true },
      clause("power", "power on / power off", "power off", "whether the machine is on meanwhile"),
      { ...clause("needs", 'needs "tool"', 'needs "multimeter"', "a tool"), repeats: true },
      clause("tries", "tries N", "tries 3", "how often the complaint is looked for after it"),
      clause("after", "after TEST, …", "after meter_rail", "tests to be done before"),
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
      clause("for", "for PLACE, …", "for panel, ribbon", "only after a verdict on these"),
    ],
  },
]

/** Words of conditions and of the insides of clauses. */
const INNER =
  "and or not is one of below above at least most between outside yes no from to by per hour on off any except only if out cures costs takes"

/** The words that begin a declaration. */
export const DECLARATION_WORDS: readonly string[] = DECLARATIONS.map((spec) => spec.keyword)

/** All reserved words: none of them can be a name; each can be a value of `one of`. */
export const KEYWORDS: readonly string[] = [
  ...new Set([
    ...DECLARATION_WORDS,
    ...DECLARATIONS.flatMap((spec) => spec.clauses.flatMap((item) => item.words.split(" "))),
    ...INNER.split(" "),
  ]),
]

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
