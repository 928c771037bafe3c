import { convert } from "../run/read.ts"

const PREFIXES = ["", "µ", "m", "k", "M", "G"] as const
const BASE = /^(?:[µμmkMG])?(V|A|W|VA|var|ohm|Ω|F|H|Hz|lm|lx|N|Nm|bit\/s|B\/s|bit|B)$/u
const KIN: readonly (readonly string[])[] = [
  ["s", "ms", "µs", "min", "h"],
  ["degC", "°C", "K", "degF"],
  ["°F", "degC", "K"],
  ["F", "mF", "µF", "nF", "pF"],
  ["Wh", "kWh", "MWh", "J", "kJ", "MJ"],
  ["Ah", "mAh"],
  ["m", "km", "cm", "mm", "µm", "inch", "ft", "mil"],
  ["g", "kg", "mg", "oz", "lb"],
  ["Pa", "hPa", "kPa", "MPa", "mbar", "bar", "psi"],
  ["Pag", "kPag", "MPag", "mbarg", "barg", "psig"],
  ["m/s", "mm/s", "km/h"],
  ["L", "mL", "µL"],
  ["L/min", "mL/min", "L/h"],
  ["deg", "°"],
]

/**
 * Units in which a value of `unit` may be given: its own first, then those of its dimension. `largest`, in `unit`, leaves
 * out those in which the numbers would be unhandy.
 */
export function unitsLike(unit: string, largest = Number.NaN): string[] {
  const stem = BASE.exec(unit)?.[1]
  const others =
    KIN.find((list) => list.includes(unit)) ?? (stem ? PREFIXES.map((prefix) => prefix + stem) : [])
  const handy = others.filter((other) => {
    if (other === unit || convert(1, other, unit) === undefined) return false
    const most = convert(largest, unit, other)
    const scale = /^(?:K|(?:deg|°)[CF])$/.test(other)
    return scale || Number.isNaN(largest) || (most !== undefined && most >= 0.5 && most < 1e6)
  })
  return [unit, ...handy]
}
