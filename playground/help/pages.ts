import { at, lookUp } from "../../compiler/run/lookup.ts"
import { type Page, type Place, readPage } from "./markdown.ts"

/**
 * The pages of the help: the handbook, the reference of the language, and the codes, as they stand in the repository.
 * They are part of the help's own chunk, so the first load does not carry them and they are there without a network.
 */
const texts = import.meta.glob<string>(
  ["../../rulesets/handbook/*.md", "../../compiler/reference/*.md", "../../compiler/{check,cases}/CODES.md"],
  { query: "?raw", import: "default", eager: true },
)
const textOf = new Map(Object.entries(texts).map(([path, text]) => [path.replace("../../", ""), text]))

const folders = [
  { group: "Handbook", index: "rulesets/handbook/README.md", id: "handbook" },
  { group: "The language", index: "compiler/reference/README.md", id: "language" },
  { group: "Problems", index: "compiler/check/CODES.md", id: "codes" },
  { group: "Problems", index: "compiler/cases/CODES.md", id: "case-codes" },
] as const

export interface Group {
  readonly name: string
  readonly pages: readonly Page[]
}

const places: readonly (Place & { readonly group: string })[] = folders.flatMap(({ group, index, id }) => [
  { group, id, path: index },
  ...after(index).map((path) => ({ group, id: stem(path), path })),
])

export const pages: readonly Page[] = places.map((place) =>
  readPage(place, lookUp(textOf, place.path), places),
)

export const groups: readonly Group[] = [...new Set(folders.map(({ group }) => group))].map((name) => ({
  name,
  pages: pages.filter((_, i) => at(places, i).group === name),
}))

/** The pages beside an index in the order in which it names them; one that it forgets comes last. */
function after(index: string): string[] {
  const folder = index.slice(0, index.lastIndexOf("/") + 1)
  const named = [...lookUp(textOf, index).matchAll(/\]\(([\w-]+\.md)\)/g)].map(([, name]) => folder + name)
  const beside = [...textOf.keys()].filter((path) => path.startsWith(folder) && path !== index)
  return [...new Set([...named.filter((path) => beside.includes(path)), ...beside])]
}

function stem(path: string): string {
  return path.slice(path.lastIndexOf("/") + 1, -".md".length)
}
