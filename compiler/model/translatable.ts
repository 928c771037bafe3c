import type { GraphTexts } from "../run/graph.ts"
import { at } from "../run/lookup.ts"
import type { Declaration, InputTree, Name, ProofDecl, ReadingDecl, Text } from "../syntax/syntax-tree.ts"
import { declaredPictures } from "./pictures/declared-pictures.ts"
import type { Scope } from "./scope.ts"

/** A text that a graph shows, or a value of `one of`, which it shows as it is called. */
export interface Translatable {
  /** The words of the entry that translates it. */
  readonly entry: "says" | "value" | "remedy" | "takes" | "needs" | "caution" | "picture" | "because"
  /** What it belongs to; absent if that has no name. */
  readonly owner?: string | undefined
  readonly original: Text | Name
}

/** What a text or value of the tree is in a language; undefined if it isn't translated. */
export type Translated = (each: Translatable) => string | undefined

/** All of them, in the order of the graph's lists. */
export function translatable(declarations: readonly Declaration[], scope: Scope): Translatable[] {
  const all = new Map<Text | Name, Translatable>()
  textsIn("", declarations, scope, (each) => {
    // A told question is the instruction of its test, too.
    if (!all.has(each.original)) all.set(each.original, each)
    return undefined
  })
  return [...all.values()]
}

/** The texts of a language as the graph has them; what has none in a list is an empty object there. */
export function textsIn(
  language: string,
  declarations: readonly Declaration[],
  scope: Scope,
  translated: Translated,
): GraphTexts {
  const { places, faults, readings, tests, rules } = scope
  const ruleset = declarations.find((each) => each.kind === "ruleset")
  const complaint = declarations.find((each) => each.kind === "complaint")
  const { text, texts, captionsOf } = textsOfOwners(translated)
  const asked = readings.filter(({ kind }) => kind === "told")
  return said({
    language,
    ruleset: listed([said({ title: text("says", ruleset?.name, ruleset?.title) })])?.[0],
    complaint: listed([said({ text: text("says", complaint?.name, complaint?.text) })])?.[0],
    places: listed(
      places.map(({ name, label, pictures }) =>
        said({ label: text("says", name, label), pictures: captionsOf(name, pictures) }),
      ),
    ),
    faults: listed(
      faults.map(({ name, label, remedy, pictures }) =>
        said({
          label: text("says", name, label),
          remedy: text("remedy", name, remedy),
          pictures: captionsOf(name, pictures),
        }),
      ),
    ),
    readings: listed(
      readings.map((decl) =>
        said({
          question: text("says", decl.name, decl.question),
          takes: listed(
            inputsOf(decl).map(({ question }) => said({ question: text("takes", decl.name, question) })),
          ),
          cells: listed(valuesOf(decl).map((value) => said({ label: text("value", decl.name, value) }))),
          pictures: captionsOf(decl.name, decl.pictures),
        }),
      ),
    ),
    tests: listed([
      ...tests.map(({ name, instruction, needs, cautions, pictures }) =>
        said({
          instruction: text("says", name, instruction),
          needs: texts("needs", name, needs),
          cautions: texts("caution", name, cautions),
          pictures: captionsOf(name, pictures, cautions),
        }),
      ),
      ...asked.map(({ name, question }) => said({ instruction: text("says", name, question) })),
    ]),
    rules: listed(rules.map(({ name, because }) => said({ because: text("because", name, because) }))),
    proofs: listed(
      declarations.filter(isProof).map((proof) => said({ text: text("says", undefined, proof.text) })),
    ),
  }) as GraphTexts
}

/** Texts in a language, each by the words of its entry and what it belongs to. */
function textsOfOwners(translated: Translated) {
  const text = (
    entry: Translatable["entry"],
    owner: Name | undefined,
    original: Text | Name | undefined,
  ): string | undefined => original && translated({ entry, owner: owner?.text, original })
  /** A list is whole, or undefined if nothing in it is translated. */
  const texts = (entry: Translatable["entry"], owner: Name | undefined, all: readonly Text[]) => {
    const own = all.map((each) => text(entry, owner, each))
    return own.some(Boolean) ? own.map((each, i) => each ?? at(all, i).value) : undefined
  }
  const captionsOf = (owner: Name | undefined, ...pictures: Parameters<typeof captions>) =>
    listed(captions(...pictures).map((each) => said({ text: text("picture", owner, each) })))
  return { text, texts, captionsOf }
}

/** Without the fields that are undefined, as JSON has it. */
function said<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as never
}

/** Undefined if none of its entries says anything. */
function listed<T extends object>(list: readonly T[]): readonly T[] | undefined {
  return list.some((each) => Object.keys(each).length > 0) ? list : undefined
}

function inputsOf(decl: ReadingDecl): readonly InputTree[] {
  return decl.kind === "reading" ? decl.inputs : []
}

function valuesOf({ type }: ReadingDecl): readonly Name[] {
  return type?.kind === "one of" ? type.values : []
}

/** What the pictures of a declaration show. */
function captions(...declared: Parameters<typeof declaredPictures>): (Text | undefined)[] {
  return declaredPictures(...declared).map(({ tree }) => tree.text)
}

function isProof(decl: Declaration): decl is ProofDecl {
  return decl.kind === "proof"
}
