/** The latest day that it is anywhere on earth: a date after it is yet to come for everybody. */
export function latestDay(): string {
  const hours = 14
  return new Date(Date.now() + hours * 3_600_000).toISOString().slice(0, 10)
}
