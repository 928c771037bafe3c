import { convert } from "../run/read.ts"

const prefixes = ["", "µ", "m", "k", "M", "G"] as const
const base = /^(?:[µμmkMG])?(V|A|W|ohm|Ω|F|H|Hz|m|g|N|Nm|Pa|bar|bit\/s|B\/s|bit|B)$/u
const kin: readonly (readonly string[])[] = [
  ["s", "ms", "µs", "min", "h"],
  ["degC", "°C", "K"],
  ["F", "mF", "µF", "nF", "pF"],
]

/**
 * Units in which a value of `unit` may be given: its own first, then those of its dimension. `largest`, in `unit`, leaves
 * out those in which the numbers would be unhandy.
 */
export function unitsLike(unit: string, largest = Number.NaN): string[] {
  const stem = base.exec(unit)?.[1]
  const others =
    kin.find((list) => list.includes(unit)) ?? (stem ? prefixes.map((prefix) => prefix + stem) : [])
  const handy = others.filter((other) => {
    if (other === unit || convert(1, other, unit) === undefined) return false
    const most = convert(largest, unit, other)
    const scale = other === "K" || other === "°C" || other === "degC"
    return scale || Number.isNaN(largest) || (most !== undefined && most >= 0.5 && most < 1e6)
  })
  return [unit, ...handy]
}
