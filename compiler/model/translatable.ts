import type { GraphTexts } from "../run/graph.ts"
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
export type Translated = (original: Text | Name | undefined) => string | undefined

/** All of them, in the order of the graph's lists. */
export function translatable(declarations: readonly Declaration[], scope: Scope): Translatable[] {
  const of = (entry: Translatable["entry"], owner: Name | undefined, ...texts: (Text | Name | undefined)[]) =>
    texts.flatMap((original) => (original ? [{ entry, owner: owner?.text, original }] : []))
  return [
    ...declarations.flatMap((each) => {
      if (each.kind === "ruleset") return of("says", each.name, each.title)
      return each.kind === "complaint" ? of("says", each.name, each.text) : []
    }),
    ...scope.places.flatMap(({ name, label, pictures }) => [
      ...of("says", name, label),
      ...of("picture", name, ...captions(pictures)),
    ]),
    ...scope.faults.flatMap(({ name, label, remedy, pictures }) => [
      ...of("says", name, label),
      ...of("remedy", name, remedy),
      ...of("picture", name, ...captions(pictures)),
    ]),
    ...scope.readings.flatMap((decl) => [
      ...of("says", decl.name, decl.question),
      ...of("takes", decl.name, ...inputsOf(decl).map(({ question }) => question)),
      ...of("value", decl.name, ...valuesOf(decl)),
      ...of("picture", decl.name, ...captions(decl.pictures)),
    ]),
    ...scope.tests.flatMap(({ name, instruction, needs, cautions, pictures }) => [
      ...of("says", name, instruction),
      ...of("needs", name, ...needs),
      ...of("caution", name, ...cautions),
      ...of("picture", name, ...captions(pictures, cautions)),
    ]),
    ...scope.rules.flatMap(({ name, because }) => of("because", name, because)),
    ...declarations.filter(isProof).flatMap(({ text }) => of("says", undefined, text)),
  ]
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
  const all = (texts: readonly Text[]) =>
    texts.some(translated) ? texts.map((text) => translated(text) ?? text.value) : undefined
  const shown = (...pictures: Parameters<typeof captions>) =>
    listed(captions(...pictures).map((text) => said({ text: translated(text) })))
  const asked = readings.filter(({ kind }) => kind === "told")
  return said({
    language,
    ruleset: listed([said({ title: translated(ruleset?.title) })])?.[0],
    complaint: listed([said({ text: translated(complaint?.text) })])?.[0],
    places: listed(
      places.map(({ label, pictures }) => said({ label: translated(label), pictures: shown(pictures) })),
    ),
    faults: listed(
      faults.map(({ label, remedy, pictures }) =>
        said({ label: translated(label), remedy: translated(remedy), pictures: shown(pictures) }),
      ),
    ),
    readings: listed(
      readings.map((decl) =>
        said({
          question: translated(decl.question),
          takes: listed(inputsOf(decl).map(({ question }) => said({ question: translated(question) }))),
          cells: listed(valuesOf(decl).map((value) => said({ label: translated(value) }))),
          pictures: shown(decl.pictures),
        }),
      ),
    ),
    tests: listed([
      ...tests.map(({ instruction, needs, cautions, pictures }) =>
        said({
          instruction: translated(instruction),
          needs: all(needs),
          cautions: all(cautions),
          pictures: shown(pictures, cautions),
        }),
      ),
      ...asked.map(({ question }) => said({ instruction: translated(question) })),
    ]),
    rules: listed(rules.map(({ because }) => said({ because: translated(because) }))),
    proofs: listed(declarations.filter(isProof).map(({ text }) => said({ text: translated(text) }))),
  }) as GraphTexts
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
