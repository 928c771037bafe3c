/** No graph is deeper; without a limit, depth could exhaust the stack. */
const DEEPEST = 500

/**
 * The one spelling of a JSON value, for digests and signatures: RFC 8785, the JSON Canonicalization Scheme. Keys sorted by
 * UTF-16 code units, no spaces, numbers as ECMAScript writes them.
 *
 * @throws RangeError if a number isn't finite or the value is nested more than 500 levels deep.
 */
export function canonicalJson(value: unknown, depth = 0): string {
  if (depth > DEEPEST) throw new RangeError("nested too deep")
  if (typeof value === "number" && !Number.isFinite(value)) throw new RangeError("a number is not finite")
  if (typeof value !== "object" || value === null) return JSON.stringify(value)
  if (Array.isArray(value)) return `[${value.map((item) => canonicalJson(item, depth + 1)).join(",")}]`
  const fields = Object.entries(value)
    .filter(([, field]) => field !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, field]) => `${JSON.stringify(key)}:${canonicalJson(field, depth + 1)}`)
  return `{${fields.join(",")}}`
}
