import type { PartName } from "../../compiler/ship/index.ts"

/** What exports carry besides the graph, fetched when the first is written that does. */
const parts: Readonly<Partial<Record<PartName, () => Promise<string>>>> = {
  "runner.js": async () => (await import("virtual:runner")).default,
  "runner.py": async () => (await import("../../compiler/ship/python/runner.py?raw")).default,
  "bench.js": async () => (await import("virtual:bench-page")).default.script,
  "bench.css": async () => (await import("virtual:bench-page")).default.style,
}

/** Their texts by name; types of the module, which only the command line writes beside it, aren't here. */
export async function fetchParts(names: readonly PartName[]): Promise<(name: PartName) => string> {
  const texts = new Map<PartName, string>()
  for (const name of names) texts.set(name, (await parts[name]?.()) ?? "")
  return (name) => texts.get(name) ?? ""
}
