import fc from "fast-check"

/**
 * Random rulesets that mean something: every name exists, every condition is of the type of its reading and neither
 * always nor never true by itself, percentages add up. The model accepts them; what the analysis finds is left open.
 */
export interface Size {
  readonly parts: number
  readonly setups: number
  readonly faults: number
  readonly readings: number
  readonly tests: number
  readonly rules: number
  readonly nevers: number
}

const SMALL: Size = { parts: 3, setups: 3, faults: 5, readings: 4, tests: 5, rules: 4, nevers: 1 }

interface Reading {
  readonly name: string
  readonly told: boolean
  readonly type: string
  /** A comparison without the name of the reading. */
  readonly compare: () => string
  /** Conditions that hold of no value together, or none where the reading is a quantity. */
  readonly values: readonly string[]
}

type Draw = fc.GeneratorValue

/** The text of a ruleset of at most the given size (at least one part and one fault, one ruleset, one complaint). */
export function boundProgram(size: Partial<Size> = {}): fc.Arbitrary<string> {
  const limits = { ...SMALL, ...size }
  return fc.gen().map((g) => new Writer(g, limits).write())
}

class Writer {
  readonly #g: Draw
  readonly #size: Size
  readonly #lines: string[] = []
  readonly #parts: string[] = []
  readonly #spares: string[] = []
  readonly #setups: string[] = []
  readonly #faults: { name: string; place: string }[] = []
  readonly #readings: Reading[] = []
  readonly #tests: string[] = []

  constructor(g: Draw, size: Size) {
    this.#g = g
    this.#size = size
  }

  write(): string {
    this.#lines.push('ruleset drawn "A drawn ruleset"')
    for (const clause of [
      'version "1.0.0"',
      "money EUR",
      "bench 60 per hour",
      "comeback costs 50",
      "handover costs 200",
    ])
      if (this.#maybe()) this.#lines.push(`  ${clause}`)
    if (this.#maybe()) this.#lines.push(`  trust ${this.#count(0, 95)}%`)
    this.#lines.push("", 'complaint bad "it does not work"', "")
    this.#times(0, this.#size.setups, (i) => this.#setup(`seat_${i}`))
    this.#times(1, this.#size.parts, (i) => this.#part(`part_${i}`))
    for (const [i, seat] of this.#setups.entries()) {
      const of = this.#maybe() ? ` of ${this.#one(this.#parts)}` : ""
      const behind = this.#clause(" behind", this.#some(this.#setups.slice(0, i)))
      this.#lines.push(
        `setup ${seat} "seat"${of}${behind}${this.#maybe() ? ` redo cures ${this.#count(1, 100)}%` : ""}`,
      )
    }
    this.#times(0, this.#size.readings, (i) => this.#reading(`found_${i}`))
    this.#times(1, this.#size.faults, (i) => this.#fault(`fault_${i}`))
    this.#times(0, this.#size.tests, (i) => this.#test(`test_${i}`))
    if (this.#readings.length > 0) {
      this.#times(0, this.#size.rules, (i) => this.#rule(i))
      this.#times(0, this.#size.nevers, () =>
        this.#lines.push(`never ${this.#comparison()} and ${this.#comparison()}`),
      )
    }
    if (this.#maybe()) this.#proof()
    return `${this.#lines.join("\n")}\n`
  }

  // Draws.

  #count(min: number, max: number): number {
    return this.#g(fc.integer, { min, max })
  }

  #maybe(): boolean {
    return this.#g(fc.boolean)
  }

  #one<T>(items: readonly T[]): T {
    return items[this.#count(0, items.length - 1)]!
  }

  #some<T>(items: readonly T[]): T[] {
    return items.filter(() => this.#maybe())
  }

  #times(min: number, max: number, write: (i: number) => void): void {
    const count = this.#count(min, max)
    for (let i = 0; i < count; i++) write(i)
  }

  #clause(words: string, names: readonly string[]): string {
    return names.length === 0 ? "" : `${words} ${names.join(", ")}`
  }

  // Declarations.

  #setup(name: string): void {
    this.#setups.push(name)
  }

  #part(name: string): void {
    const spare = this.#maybe()
    this.#parts.push(name)
    if (spare) this.#spares.push(name)
    const behind = this.#clause(" behind", this.#some(this.#setups))
    this.#lines.push(`part ${name} "part" price ${this.#count(0, 300)}${spare ? " spare" : ""}${behind}`)
  }

  #reading(name: string): void {
    const told = this.#maybe()
    const kind = this.#count(0, 2)
    const values = kind === 0 ? ["yes", "no"] : ["low", "part", "high", "never"].slice(0, this.#count(2, 4))
    const quantity = kind === 2 ? this.#quantity() : undefined
    const reading: Reading = {
      name,
      told,
      type: quantity?.type ?? (kind === 0 ? "yes or no" : `one of ${values.join(", ")}`),
      compare: quantity?.compare ?? (() => this.#compareValues(values)),
      values: quantity === undefined ? values.map((value) => `is ${value}`) : [],
    }
    this.#readings.push(reading)
    const more = told
      ? `${this.#maybe() ? ` trust ${this.#count(0, 100)}%` : ""}${this.#maybe() ? ` takes ${this.#count(1, 5)} min` : ""}`
      : this.#maybe()
        ? ` normally ${reading.compare()} ${this.#count(1, 99)}%`
        : ""
    this.#lines.push(`${told ? "told" : "reading"} ${name} "what of it?" ${reading.type}${more}`)
  }

  #compareValues(values: readonly string[]): string {
    const value = this.#one(values)
    const how = this.#count(0, 2)
    if (how < 2 || values.length === 2) return `is ${how === 1 ? "not " : ""}${value}`
    return `is one of ${values.filter((other) => other !== value).join(", ")}`
  }

  /** A quantity of few values, and limits between and on them which leave values on both sides. */
  #quantity(): { type: string; compare: () => string } {
    const top = this.#count(2, 12)
    const compare = (): string => {
      const unit = this.#one(["V", "mV"])
      const volts = (halves: number) => (unit === "V" ? `${halves / 2} V` : `${halves * 500} mV`)
      const low = this.#count(1, 2 * top - 1)
      const high = this.#count(low, 2 * top - 1)
      const even = low - (low % 2)
      const inner = Math.max(2, even)
      return this.#one([
        () => `below ${volts(low)}`,
        () => `above ${volts(low)}`,
        () => `at least ${volts(low)}`,
        () => `at most ${volts(low)}`,
        // From a value of the grid, so that there is one within.
        () => `between ${volts(even)} and ${volts(high)}`,
        () => `outside ${volts(inner)} and ${volts(Math.max(inner, high))}`,
      ])()
    }
    return { type: `in V from 0 to ${top} by 1`, compare }
  }

  #fault(name: string): void {
    const place = this.#one([...this.#parts, ...this.#setups])
    this.#faults.push({ name, place })
    this.#lines.push(`fault ${name} "fault" in ${place} odds ${this.#count(1, 20)}`)
    if (this.#maybe()) this.#lines.push(`  shows bad ${this.#count(1, 99)}%`)
    for (const reading of this.#some(this.#readings)) this.#shows(reading)
    if (this.#maybe())
      this.#lines.push(
        `  remedy "mend it"`,
        `  fix costs ${this.#count(0, 40)} fix takes ${this.#count(1, 40)} min`,
      )
  }

  #shows({ name, compare, values }: Reading): void {
    const chance = this.#count(1, 100)
    if (values.length > 2 && chance < 100 && this.#maybe()) {
      const rest = this.#count(1, 100 - chance)
      this.#lines.push(`  shows ${name} ${values[0]} ${chance}%`, `  shows ${name} ${values[1]} ${rest}%`)
    } else this.#lines.push(`  shows ${name} ${compare()}${chance === 100 ? "" : ` ${chance}%`}`)
  }

  #test(name: string): void {
    const read = this.#some(this.#readings.filter((reading) => !reading.told)).map((reading) => reading.name)
    const redone = this.#some(this.#setups)
    const kinds = [
      read.length > 0 ? () => `reads ${read.join(", ")}` : undefined,
      this.#spares.length > 0
        ? () =>
            `swaps ${this.#one(this.#spares)}${this.#clause(" redoes", redone)} tries ${this.#count(1, 3)}`
        : undefined,
      redone.length > 0
        ? () =>
            `redoes ${redone.map((seat) => (this.#maybe() ? `${seat} ${this.#count(1, 100)}%` : seat)).join(", ")}`
        : undefined,
    ].filter((kind) => kind !== undefined)
    if (kinds.length === 0) return
    const power = this.#one(["", " power off", ' power on caution "Live."'])
    const after = this.#clause(" after", this.#some(this.#tests))
    const costs = this.#maybe() ? ` costs ${this.#count(0, 9)}` : ""
    const risks = this.#maybe() ? ` risks ${this.#one(this.#parts)} ${this.#count(1, 9)}%` : ""
    const only = this.#readings.length > 0 && this.#count(0, 4) === 0 ? ` only if ${this.#comparison()}` : ""
    this.#lines.push(
      `test ${name} "do it" ${this.#one(kinds)()} takes ${this.#count(1, 30)} min${costs}${risks}${power}${after}${only}`,
    )
    this.#tests.push(name)
  }

  #rule(i: number): void {
    const named = this.#maybe() ? `rule rule_${i}: ` : ""
    const verb = this.#count(0, 3) === 0 ? "leaves only" : "rule out"
    const { place } = this.#one(this.#faults)
    const there = this.#faults.filter((fault) => fault.place === place).map((fault) => fault.name)
    const names = this.#faults.map((fault) => fault.name)
    const listed = this.#maybe()
      ? `any in ${place}${this.#clause(" except", this.#some(there.slice(1)))}`
      : [...new Set([this.#one(names), ...this.#some(names)])].join(", ")
    this.#lines.push(
      `${named}when ${this.#condition(2)} ${verb} ${listed}${this.#maybe() ? ' because "so it is"' : ""}`,
    )
  }

  #proof(): void {
    const reading = this.#readings.find((item) => !item.told)
    const expects =
      reading !== undefined && this.#maybe() ? ` expects ${reading.name} ${reading.compare()}` : ""
    const places = this.#clause(" for", this.#some([...this.#parts, ...this.#setups]))
    this.#lines.push(
      `proof "start it" times ${this.#count(1, 9)} takes ${this.#count(1, 9)} min${expects}${places}`,
    )
  }

  // Conditions.

  #comparison(): string {
    const { name, compare } = this.#one(this.#readings)
    return `${name} ${compare()}`
  }

  #condition(depth: number): string {
    const kind = depth === 0 ? 0 : this.#count(0, 4)
    if (kind < 3) return this.#comparison()
    if (kind === 3) return `not (${this.#condition(depth - 1)})`
    return `(${this.#condition(depth - 1)}) ${this.#one(["and", "or"])} (${this.#condition(depth - 1)})`
  }
}
