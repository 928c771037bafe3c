import type { ScenarioDecl } from "../syntax-tree.ts"
import { clauseSpecs } from "./clause-specs.ts"
import type { DeclarationSpec } from "./declaration-specs.ts"

const step = { repeats: true, place: "own" } as const
const part = { names: ["part"] } as const
const expected = { ...step, argument: "name" } as const

/** Words that only scenarios have, besides `scenario` itself. Elsewhere they can be names. */
export const SCENARIO_WORDS =
  "finds does puts back replaces fixes keeps looks again closes cannot next close hand over replace put keep take look gone stays holds fails ruled"

export const scenario: DeclarationSpec = {
  kind: "scenario",
  keyword: "scenario",
  head: '"text"',
  example: 'scenario "A bump has loosened the ribbon"',
  says: "a job as it might go, and what is expected of the plan on the way; not part of the graph",
  clauses: clauseSpecs<ScenarioDecl>({
    finds: {
      ...step,
      words: "finds",
      argument: "finding",
      names: ["reading", "told"],
      example: "finds rail is 24.1 V",
      says: "what is read, or told",
    },
    does: {
      ...step,
      words: "does",
      argument: "nameWithOutcome",
      names: ["test"],
      example: "does reseat_ribbon stays",
      says: "a test that swaps, redoes or removes something, and whether the complaint is gone or stays",
    },
    putsBack: {
      ...step,
      ...part,
      words: "puts back",
      argument: "nameWithOutcome",
      example: "puts back panel stays",
      says: "the old part goes back in, and the complaint is looked for",
    },
    takesOut: {
      ...step,
      ...part,
      words: "takes out",
      argument: "name",
      example: "takes out panel",
      says: "a known-good part that was left in comes out",
    },
    keeps: {
      ...step,
      ...part,
      words: "keeps",
      argument: "name",
      example: "keeps panel",
      says: "the known-good part that is in is bought",
    },
    replaces: {
      ...step,
      ...part,
      words: "replaces",
      argument: "nameWithOutcome",
      example: "replaces panel gone",
      says: "a part is replaced by a bought one, and the complaint is looked for",
    },
    fixes: {
      ...step,
      words: "fixes",
      argument: "nameWithOutcome",
      names: ["fault"],
      example: "fixes switch_open gone",
      says: "a fault is fixed, and the complaint is looked for",
    },
    looksAgain: {
      ...step,
      words: "looks again",
      argument: "outcome",
      example: "looks again stays",
      says: "the complaint is looked for once more",
    },
    closes: {
      ...step,
      words: "closes",
      argument: "ending",
      example: "closes holds",
      says: "the proof run, and whether the machine passes it",
    },
    cannot: {
      ...step,
      words: "cannot",
      argument: "name",
      names: ["test"],
      example: "cannot try_panel",
      says: "a test that can't be done in this job",
    },
    expectsNext: {
      ...expected,
      words: "expects next",
      names: ["test", "told"],
      example: "expects next look_glow",
      says: "the test or question that comes next",
    },
    expectsPutBack: {
      ...expected,
      ...part,
      words: "expects put back",
      example: "expects put back panel",
      says: "that the old part goes back in next",
    },
    expectsTakeOut: {
      ...expected,
      ...part,
      words: "expects take out",
      example: "expects take out panel",
      says: "that a part that was left in comes out next",
    },
    expectsKeep: {
      ...expected,
      ...part,
      words: "expects keep",
      example: "expects keep panel",
      says: "that the part that is in is bought next",
    },
    expectsReplace: {
      ...expected,
      ...part,
      words: "expects replace",
      example: "expects replace panel",
      says: "that a part is replaced next",
    },
    expectsFix: {
      ...expected,
      words: "expects fix",
      names: ["fault"],
      example: "expects fix switch_open",
      says: "that a fault is fixed next",
    },
    expectsLook: {
      ...step,
      words: "expects look again",
      argument: "nothing",
      example: "expects look again",
      says: "that the complaint is looked for once more",
    },
    expectsClose: {
      ...step,
      words: "expects close",
      argument: "nothing",
      example: "expects close",
      says: "that the proof run comes next",
    },
    expectsHandOver: {
      ...step,
      words: "expects hand over",
      argument: "nothing",
      example: "expects hand over",
      says: "that somebody else takes the machine",
    },
    expects: {
      ...step,
      words: "expects",
      argument: "standing",
      names: ["fault"],
      example: "expects supply_low ruled out",
      says: "that a fault is ruled out, or how likely it is to be active at least or at most",
    },
  }),
}
