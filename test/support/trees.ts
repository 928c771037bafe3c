import fc from "fast-check"
import { CONTEXTUAL_WORDS, KEYWORDS } from "../../compiler/syntax/language/keywords.ts"
import type {
  Comment,
  Comparison,
  Condition,
  Declaration,
  Expression,
  FaultsTree,
  InputTree,
  Name,
  PictureTree,
  Quantity,
  Text,
  Tree,
  TypeTree,
} from "../../compiler/syntax/syntax-tree.ts"

/**
 * Random trees of the whole grammar, whatever they mean: names that nothing declares, percentages beyond 100. They are
 * in the form that the parser gives (no `and` right within an `and`), but for spans, which are all nowhere.
 */
const NOWHERE = { file: "random.ruleout", start: -1, end: -1 }

const reserved = new Set(KEYWORDS)
const word = fc.stringMatching(/^[a-z][a-z0-9_]{0,8}$/)
/** Words that are names too where no clause begins with them are drawn often. */
const name: fc.Arbitrary<Name> = fc
  .oneof({ weight: 4, arbitrary: word }, fc.constantFrom(...CONTEXTUAL_WORDS))
  .filter((text) => !reserved.has(text))
  .map((text) => ({ text, span: NOWHERE }))
/** Any word may be a value, reserved or not. */
const value: fc.Arbitrary<Name> = fc
  .oneof(word, fc.constantFrom(...KEYWORDS))
  // `is not`, `is one of` and `not` are read first, and a comma keeps a list of values going.
  .filter((text) => text !== "not" && text !== "one")
  .map((text) => ({ text, span: NOWHERE }))
const character = fc.oneof(
  { weight: 8, arbitrary: fc.constantFrom(..."abcdefghij ") },
  fc.constantFrom('"', "\\", "#", "°", "é", "漢", "😀", "\t", "`", "%", ",", "\u0301"),
)
const text: fc.Arbitrary<Text> = fc
  .string({ unit: character, maxLength: 30 })
  .map((content) => ({ value: content, span: NOWHERE }))

const spelling = fc.oneof(
  fc.nat({ max: 1000 }).map(String),
  fc.tuple(fc.integer({ min: -99, max: 99 }), fc.nat({ max: 999 })).map(([a, b]) => `${a}.${b}`),
)
const plain: fc.Arbitrary<Quantity> = spelling.map((digits) => ({
  value: Number(digits),
  spelling: digits,
  span: NOWHERE,
}))
const withUnit = (units: readonly string[]) =>
  fc
    .tuple(plain, fc.constantFrom(...units))
    .map(([number, unit]) => ({ ...number, unit: { text: unit, span: NOWHERE } }))
const percent = withUnit(["%"])
const minutes = withUnit(["min", "s", "h"])
const measured = fc.oneof(plain, withUnit(["V", "mV", "kΩ", "µF", "°C", "Mbit/s", "%", "rpm", "degC"]))

/** Of a reading that is worked out. Its own names are drawn plain, since they are words of its own. */
const inputName = word
  .filter((text) => !reserved.has(text) && !CONTEXTUAL_WORDS.has(text))
  .map((text): Name => ({ text, span: NOWHERE }))
const input: fc.Arbitrary<InputTree> = fc
  .tuple(inputName, text, fc.constantFrom("V", "mA", "%", "degF", "L/min", "km/h"))
  .map(([own, question, unit]) => ({
    kind: "input",
    name: own,
    question,
    unit: { text: unit, span: NOWHERE },
    span: NOWHERE,
  }))
const { expression } = fc.letrec<{ expression: Expression }>((tie) => ({
  expression: fc.oneof(
    { maxDepth: 4 },
    inputName.map((own): Expression => ({ kind: "name", name: own, span: NOWHERE })),
    fc
      .oneof(plain, withUnit(["V", "%", "km/h"]))
      .map((number): Expression => ({ kind: "number", number, span: NOWHERE })),
    fc.record({
      kind: fc.constant("operation" as const),
      operation: fc.constantFrom("+" as const, "-" as const, "*" as const, "/" as const),
      left: tie("expression"),
      right: tie("expression"),
      span: fc.constant(NOWHERE),
    }),
  ),
}))

const VALUED: readonly Comparison[] = ["is", "is not", "is one of"]
const PAIRED: readonly Comparison[] = ["between", "outside"]
const LIMITED: readonly Comparison[] = ["below", "above", "at least", "at most"]

function comparison(reading: fc.Arbitrary<Name | undefined>): fc.Arbitrary<Condition> {
  const build = (
    word: Comparison,
    values: readonly Name[],
    numbers: readonly Quantity[],
    of?: Name,
  ): Condition => ({
    kind: "compare",
    ...(of === undefined ? {} : { reading: of }),
    comparison: word,
    values,
    numbers,
    span: NOWHERE,
  })
  return fc.oneof(
    fc
      .tuple(fc.constantFrom(...VALUED), fc.array(value, { minLength: 1, maxLength: 3 }), reading)
      .map(([word, values, of]) => build(word, word === "is one of" ? values : values.slice(0, 1), [], of)),
    fc
      .tuple(fc.constantFrom(...PAIRED), measured, measured, reading)
      .map(([word, a, b, of]) => build(word, [], [a, b], of)),
    fc.tuple(fc.constantFrom(...LIMITED), measured, reading).map(([word, a, of]) => build(word, [], [a], of)),
  )
}

/** `and` within `and` becomes one, as the parser does it. */
function chain(kind: "and" | "or", items: readonly Condition[]): Condition {
  const flat = items.flatMap((item) => (item.kind === kind ? item.items : [item]))
  return { kind, items: flat, span: NOWHERE }
}

function conditionOn(reading: fc.Arbitrary<Name | undefined>): fc.Arbitrary<Condition> {
  const { condition } = fc.letrec<{ condition: Condition }>((tie) => ({
    condition: fc.oneof(
      { depthSize: "small", withCrossShrink: true },
      comparison(reading),
      tie("condition").map((item): Condition => ({ kind: "not", item, span: NOWHERE })),
      fc
        .tuple(
          fc.constantFrom("and" as const, "or" as const),
          fc.array(tie("condition"), { minLength: 2, maxLength: 3 }),
        )
        .map(([kind, items]) => chain(kind, items)),
    ),
  }))
  return condition
}

const condition = conditionOn(name)
const bare = conditionOn(fc.constant(undefined))

const type: fc.Arbitrary<TypeTree> = fc.oneof(
  fc.constant<TypeTree>({ kind: "yes or no", span: NOWHERE }),
  fc
    .array(value, { minLength: 1, maxLength: 4 })
    .map((values): TypeTree => ({ kind: "one of", values, span: NOWHERE })),
  fc
    .tuple(fc.constantFrom("V", "degC", "%", "bit/s"), plain, plain, fc.option(plain, { nil: undefined }))
    .map(
      ([unit, from, to, by]): TypeTree => ({
        kind: "quantity",
        unit: { text: unit, span: NOWHERE },
        from,
        to,
        ...(by && { by }),
        span: NOWHERE,
      }),
    ),
)

const is = <T>(constant: T) => fc.constant(constant)
const names = fc.array(name, { minLength: 1, maxLength: 4 })
const someNames = fc.array(name, { maxLength: 3 })
const listed = fc.record({ names, except: someNames, span: is(NOWHERE) })
const anyIn = fc.record({ names: is([]), anyIn: name, except: someNames, span: is(NOWHERE) })
/** Only the first item can be a run of names that `except` ends; names after an `any in` are a run of their own. */
const faults: fc.Arbitrary<FaultsTree> = fc
  .tuple(fc.oneof(listed, anyIn), fc.array(anyIn, { maxLength: 2 }))
  .map(([first, others]) => ({ items: [first, ...others], span: NOWHERE }))

/** A record of which each key of `optional` may be absent. */
function some<R extends object, O extends object>(
  required: { [K in keyof R]: fc.Arbitrary<R[K]> },
  optional: { [K in keyof O]: fc.Arbitrary<O[K]> },
): fc.Arbitrary<R & Partial<O>> {
  const keys = Object.keys(required)
  return fc.record({ ...required, ...optional } as Record<string, fc.Arbitrary<unknown>>, {
    requiredKeys: keys,
  }) as unknown as fc.Arbitrary<R & Partial<O>>
}

const shows = fc.oneof(
  fc.record({ what: name, chance: percent, span: is(NOWHERE) }),
  some({ what: name, condition: bare, span: is(NOWHERE) }, { chance: percent }),
)
const picture: fc.Arbitrary<PictureTree> = fc
  .tuple(text, text)
  .map(([path, shown]) => ({ kind: "picture", path, text: shown, span: NOWHERE }))
const pictures = fc.array(picture, { maxLength: 2 })
const test = some(
  {
    kind: is("test" as const),
    name,
    instruction: text,
    reads: someNames,
    swaps: someNames,
    redoes: fc.array(some({ name, span: is(NOWHERE) }, { chance: percent }), { maxLength: 3 }),
    removes: someNames,
    risks: fc.array(fc.record({ name, chance: percent, span: is(NOWHERE) }), { maxLength: 2 }),
    needs: fc.array(text, { maxLength: 2 }),
    after: someNames,
    afterAny: someNames,
    pictures,
    cautions: fc.array(
      fc.tuple(text, pictures).map(([own, shown]) => ({ ...own, pictures: shown })),
      { maxLength: 2 },
    ),
  },
  {
    takes: minutes,
    waits: minutes,
    costs: plain,
    power: fc.record({ on: fc.boolean(), span: is(NOWHERE) }),
    onlyIf: condition,
    tries: plain,
  },
).map((draft) => {
  const kinds = [
    draft.reads.length > 0 && "reads",
    draft.swaps.length > 0 && "swaps",
    draft.redoes.length > 0 && "redoes",
    draft.removes.length > 0 && "removes",
  ]
  return {
    ...draft,
    kinds: kinds.filter((kind) => kind !== false).map((kind) => ({ text: kind, span: NOWHERE })),
  }
})

const normally = fc.record({ condition: bare, chance: percent, span: is(NOWHERE) })

const body = fc.oneof(
  some(
    { kind: is("ruleset" as const), name, title: text },
    {
      version: text,
      money: is({ text: "EUR", span: NOWHERE }),
      language: is({ text: "pt", span: NOWHERE }),
      bench: plain,
      comeback: plain,
      handover: plain,
      trust: percent,
      waiting: plain,
      second: percent,
      unlisted: percent,
    },
  ),
  fc.record({ kind: is("use" as const), path: text }),
  some(
    {
      kind: is("part" as const),
      name,
      label: text,
      behind: someNames,
      fitAfter: someNames,
      fitAfterAny: someNames,
      pictures,
    },
    {
      price: plain,
      spare: is(NOWHERE),
      fitTakes: minutes,
      fitCosts: plain,
      fitWaits: minutes,
      fitOnlyIf: condition,
    },
  ),
  some(
    { kind: is("setup" as const), name, label: text, behind: someNames, pictures },
    { of: name, cures: percent },
  ),
  some({ kind: is("complaint" as const), name, text }, { takes: minutes, tries: plain }),
  some(
    {
      kind: is("fault" as const),
      name,
      label: text,
      shows: fc.array(shows, { maxLength: 3 }),
      fixAfter: someNames,
      fixAfterAny: someNames,
      eased: fc.array(some({ name, span: is(NOWHERE) }, { chance: percent }), { maxLength: 2 }),
      pictures,
    },
    {
      place: name,
      odds: plain,
      remedy: text,
      fixCosts: plain,
      fixTakes: minutes,
      fixWaits: minutes,
      fixOnlyIf: condition,
    },
  ),
  some(
    { kind: is("told" as const), name, question: text, type, pictures },
    { trust: percent, takes: minutes, normally },
  ),
  some(
    { kind: is("reading" as const), name, question: text, type, inputs: is<InputTree[]>([]), pictures },
    { normally },
  ),
  // What a list of values comes to isn't worked out, and its last value can be a word before which a name stands.
  some(
    {
      kind: is("reading" as const),
      name,
      question: text,
      type: type.filter(({ kind }) => kind !== "one of"),
      inputs: fc.array(input, { maxLength: 2 }),
      pictures,
    },
    { normally, gives: expression },
  ),
  test,
  some(
    {
      kind: is("rule" as const),
      condition,
      verb: fc.constantFrom("rule out" as const, "leaves only" as const),
      faults,
    },
    { name, because: text, chance: percent },
  ),
  fc.record({ kind: is("never" as const), condition }),
  some(
    { kind: is("proof" as const), text, places: someNames },
    {
      times: plain,
      takes: minutes,
      expects: fc.record({ reading: name, condition: bare, span: is(NOWHERE) }),
    },
  ),
)

/** In a scenario a word of its clauses that begins one is never a name: `expects close ruled out`. */
const plainName = word
  .filter((text) => !reserved.has(text) && !CONTEXTUAL_WORDS.has(text))
  .map((text) => ({ text, span: NOWHERE }))
const outcome = fc.constantFrom("gone" as const, "stays" as const)
const ending = fc.constantFrom("holds" as const, "fails" as const)
const few = <T>(step: fc.Arbitrary<T>) => fc.array(step, { maxLength: 2 })
const fewNames = few(plainName)
const tried = few(fc.record({ name: plainName, outcome, span: is(NOWHERE) }))
const scenario = fc.record({
  kind: is("scenario" as const),
  text,
  finds: few(
    fc.oneof(
      fc.record({ reading: plainName, value: plainName, span: is(NOWHERE) }),
      fc.record({ reading: plainName, number: measured, span: is(NOWHERE) }),
    ),
  ),
  does: tried,
  putsBack: tried,
  takesOut: fewNames,
  keeps: fewNames,
  replaces: tried,
  fixes: tried,
  looksAgain: few(fc.record({ outcome, span: is(NOWHERE) })),
  closes: few(fc.record({ ending, span: is(NOWHERE) })),
  cannot: fewNames,
  expectsNext: fewNames,
  expectsPutBack: fewNames,
  expectsTakeOut: fewNames,
  expectsKeep: fewNames,
  expectsReplace: fewNames,
  expectsFix: fewNames,
  expectsLook: few(is(NOWHERE)),
  expectsClose: few(is(NOWHERE)),
  expectsHandOver: few(is(NOWHERE)),
  expects: few(
    fc.oneof(
      fc.record({ fault: plainName, is: is("ruled out" as const), span: is(NOWHERE) }),
      fc.record({
        fault: plainName,
        is: fc.constantFrom("at least" as const, "at most" as const),
        chance: percent,
        span: is(NOWHERE),
      }),
    ),
  ),
})

const entries = few(some({ original: text, text, span: is(NOWHERE) }, { name }))
const texts = some(
  {
    kind: is("texts" as const),
    tag: plainName,
    says: entries,
    values: few(fc.record({ reading: name, value, text, span: is(NOWHERE) })),
    remedies: entries,
    inputs: entries,
    tools: entries,
    hazards: entries,
    captions: entries,
    reasons: entries,
  },
  {},
)

const comment: fc.Arbitrary<Comment> = fc
  .tuple(fc.string({ unit: character, maxLength: 12 }), fc.boolean())
  .map(([content, blankBefore]) => ({
    text: `#${content}`.trimEnd(),
    span: NOWHERE,
    blankBefore,
    ownLine: true,
  }))

const declaration = fc
  .record({
    body: fc.oneof({ weight: 12, arbitrary: body }, scenario, texts),
    leading: fc.array(comment, { maxLength: 2 }),
    blankBefore: fc.boolean(),
    detached: fc.boolean(),
  })
  .map(({ body, leading, blankBefore, detached }) => ({
    ...body,
    keyword: NOWHERE,
    span: NOWHERE,
    leading: leading.map((item, i) => (i === 0 ? { ...item, blankBefore } : item)),
    inner: [],
    blankBefore,
    ...(detached && leading.length > 0 ? { detached } : {}),
    whole: true,
  }))

/** Trees as the parser would give them for some text, up to spans. */
export const anyTree: fc.Arbitrary<Tree> = fc
  .tuple(fc.array(declaration, { maxLength: 8 }), fc.array(comment, { maxLength: 2 }))
  .map(([drawn, trailing]) => {
    // Nothing stands above the first line.
    const [head, ...others] = drawn as unknown as Declaration[]
    const first = head && {
      ...head,
      blankBefore: false,
      leading: head.leading.map((item, i) => (i === 0 ? { ...item, blankBefore: false } : item)),
    }
    const declarations = first === undefined ? [] : [first, ...others]
    const comments = trailing.map((item, i) =>
      i === 0 && first === undefined ? { ...item, blankBefore: false } : item,
    )
    return { file: NOWHERE.file, declarations, trailing: comments, whole: true }
  })

/** What of a tree does not depend on where its text stood. */
export function withoutSpans(tree: Tree): unknown {
  return JSON.parse(
    JSON.stringify(tree, (key, content) => {
      if (key === "span" || key === "keyword") return undefined
      if (/^expects(?:Look|Close|HandOver)$/.test(key)) return content.length
      return key === "spare" ? true : content
    }),
  )
}
