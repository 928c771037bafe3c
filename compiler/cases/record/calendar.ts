/** Days of the months, February of a leap year. */
const DAYS = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

/** Whether there is such a day in the Gregorian calendar; undefined where the text isn't written like a date of ISO 8601. */
export function isDay(text: string): boolean | undefined {
  const [, year, month, day] = /^(\d{4})-(\d\d)-(\d\d)(?:T|$)/.exec(text)?.map(Number) ?? []
  if (year === undefined || month === undefined || day === undefined) return undefined
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  const days = month === 2 && !isLeap ? 28 : (DAYS[month - 1] ?? 0)
  return day >= 1 && day <= days
}
