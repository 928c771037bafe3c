/** A chance of 1 as `42.3 %`, `4.2 %` or `0.042 %`: one decimal from 10 % on, two significant digits below. */
export function percent(chance: number): string {
  const value = chance * 100
  return `${value >= 10 || value === 0 ? Math.round(value * 10) / 10 : Number(value.toPrecision(2))} %`
}

/** An amount as `12 EUR` or `12.5 EUR`, to the hundredth. */
export function money(amount: number, currency: string): string {
  return `${Math.round(amount * 100) / 100} ${currency}`
}

/** A time at the bench as `4 min` or `4.5 min`, to the tenth. */
export function minutes(time: number): string {
  return `${Math.round(time * 10) / 10} min`
}
