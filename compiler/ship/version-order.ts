import { at } from "../run/lookup.ts"

/** Whether a version comes before another one, by Semantic Versioning 2.0.0; undefined where one isn't such a version. */
export function isOlder(version: string, than: string): boolean | undefined {
  const [a, b] = [partsOf(version), partsOf(than)]
  if (!a || !b) return undefined
  for (let i = 0; i < 3; i++) if (a.numbers[i] !== b.numbers[i]) return at(a.numbers, i) < at(b.numbers, i)
  // What has no mark of a version before the release is the release.
  if (a.before.length === 0 || b.before.length === 0) return a.before.length > b.before.length
  for (let i = 0; ; i++) {
    const [x, y] = [a.before[i], b.before[i]]
    if (x === undefined || y === undefined) return x === undefined && y !== undefined
    if (x !== y) return comesFirst(x, y)
  }
}

/** Numbers by their value and before words, words by their code units. */
function comesFirst(x: string, y: string): boolean {
  const [isX, isY] = [/^\d+$/.test(x), /^\d+$/.test(y)]
  if (isX && isY) return Number(x) < Number(y)
  return isX === isY ? x < y : isX
}

function partsOf(text: string): { numbers: number[]; before: string[] } | undefined {
  const [, numbers, before = ""] =
    /^(\d{1,15}\.\d{1,15}\.\d{1,15})(?:-([0-9A-Za-z.-]{1,200}))?(?:\+[0-9A-Za-z.-]{1,200})?$/.exec(text) ?? []
  if (numbers === undefined) return undefined
  return { numbers: numbers.split(".").map(Number), before: before === "" ? [] : before.split(".") }
}
