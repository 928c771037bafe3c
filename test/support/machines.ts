import type { Draw } from "./models.ts"
import type { Sketch, SketchFault, SketchPlace, SketchReading, SketchRule, SketchTest } from "./sketch.ts"

/**
 * Generated machines, for benches. `models.ts` draws any ruleset that the language allows, sense or no sense; these are
 * built the way machines are (*common practice*):
 *
 * - sections (a supply, a drive, a controller) of modules, modules of about ten faults, each in a part or in the seat,
 *   setting or plug of one;
 * - odds that differ a hundredfold, since few faults make most jobs;
 * - an indicator for all sections, told questions about one module in five each, a reading for each section and each module that most of its faults
 *   upset, and narrow readings that one to three faults upset; a fault upsets a handful of them, a sound machine seldom any;
 * - broad readings are cheap and say little, narrow ones dear and say much; half of the parts have a spare to swap in,
 *   most setups can be redone; tests for what fails often are written first; where there are far more faults than
 *   tests, a test takes two narrow readings at once;
 * - rules as authors write them: most readings that are right rule out the faults that nearly always upset them, and
 *   many that are off leave only their own; half of them are trusted a little less than fully;
 * - a few machines in a hundred have two faults or one that is not listed; a part may be waited for, a light one is left
 *   out to see whether the machine does without it; some faults are fixed in place, some eased by a seat beside;
 * - the complaint takes a minute to look for, and the proof run a few; no test waits for another without need.
 */
export interface MachineSize {
  readonly faults: number
  readonly tests: number
}

const PER_MODULE = 10
const PER_SECTION = 60

/** Chances below this an author takes for never. */
const NEARLY_NEVER = 0.05

export function machineFrom(draw: Draw, { faults: count, tests: most }: MachineSize): Sketch {
  const likely = (percent: number) => draw.int(1, 100) <= percent
  const pick = <T>(items: readonly T[]): T => items[draw.int(0, items.length - 1)]!
  const percent = (from: number, to: number) => draw.int(from, to) / 100

  const places: SketchPlace[] = []
  const readings: SketchReading[] = []
  const faults: { -readonly [K in keyof SketchFault]: SketchFault[K] }[] = []
  const rules: SketchRule[] = []
  const broad: SketchTest[] = []
  const narrow: SketchTest[] = []
  const repairs: SketchTest[] = []
  const shows: Record<string, Record<string, number[]>> = {}

  const sections = Math.ceil(count / PER_SECTION)
  const modulesOf = Math.ceil(count / sections / PER_MODULE)
  const modules = sections * modulesOf

  const trusted = () => (likely(50) ? { chance: pick([0.95, 0.98]) } : {})

  /** A reading that is right on a sound machine and off with these faults. */
  const upset = (
    name: string,
    by: readonly string[],
    seldom: number,
    often: [number, number],
    cells: number,
  ) => {
    const off = cells - 1
    readings.push({
      name,
      cells: ["right", "low", "high"].slice(0, cells),
      healthy: [1 - seldom, ...Array(off).fill(seldom / off)],
    })
    for (const fault of by) {
      const p = percent(...often)
      const way = draw.int(1, off)
      shows[fault]![name] = [
        1 - p,
        ...Array.from({ length: off }, (_, i) => (off === 1 ? p : i + 1 === way ? p * 0.9 : p * 0.1)),
      ]
    }
    const out = by.filter((f) => shows[f]![name]![0]! < NEARLY_NEVER)
    if (likely(80) && out.length > 0) rules.push({ when: ["in", name, [0]], out, ...trusted() })
    if (seldom < NEARLY_NEVER && likely(60) && by.length > 0) {
      rules.push({ when: ["in", name, [1, 2].slice(0, off)], only: by, chance: pick([0.9, 0.95, 0.98]) })
    }
  }

  const sectionFaults: string[][] = Array.from({ length: sections }, () => [])
  for (let m = 0; m < modules; m++) {
    const first = Math.floor((m * count) / modules)
    const last = Math.floor(((m + 1) * count) / modules)
    const own = Array.from({ length: last - first }, (_, i) => `fault${first + i}`)
    sectionFaults[Math.floor(m / modulesOf)]!.push(...own)
    const parts = Array.from(
      { length: Math.max(1, Math.floor(own.length * 0.34)) },
      (_, i) => `part${m}_${i}`,
    )
    const setups = Array.from(
      { length: Math.max(1, Math.floor(own.length * 0.17)) },
      (_, i) => `setup${m}_${i}`,
    )
    for (const name of parts)
      places.push({
        name,
        kind: "part",
        price: draw.int(1, 30) * 10,
        ...(likely(30) ? { fit: { minutes: draw.int(5, 30), waits: pick([0, 0, 1440]) } } : {}),
      })
    setups.forEach((name, i) => {
      places.push({
        name,
        kind: "setup",
        cures: pick([1, 0.95, 0.9, 0.8]),
        ...(likely(60) ? { of: parts[i % parts.length]! } : {}),
      })
    })
    own.forEach((name, i) => {
      shows[name] = {}
      const all = [...parts, ...setups]
      faults.push({
        name,
        in: i < all.length ? all[i]! : likely(70) ? pick(parts) : pick(setups),
        odds: Math.max(1, Math.round(100 ** (draw.int(0, 100) / 100))),
        recurs: pick([1, 1, 1, 1, 0.7, 0.4]),
        ...(likely(15) ? { fix: { minutes: draw.int(5, 40), costs: draw.int(0, 10) } } : {}),
        ...(likely(10) && all[i] !== undefined && !setups.includes(all[i]!)
          ? { eased: { [pick(setups)]: pick([0.3, 0.5, 0.7]) } }
          : {}),
      })
    })
    if (modules > 1) {
      upset(
        `module${m}`,
        own.filter(() => likely(85)),
        0.03,
        [75, 97],
        3,
      )
      broad.push({ name: `measure${m}`, reads: [`module${m}`], minutes: draw.int(2, 6) })
    }
    for (let i = 0; i < own.length; i += 2) {
      const by = own.slice(i, i + draw.int(1, 3))
      const name = `point${m}_${i}`
      upset(name, by, pick([0, 0.01, 0.02, 0.05]), [85, 100], likely(70) ? 2 : 3)
      const open = narrow.at(-1)
      if (count > 1.3 * most && open?.name.startsWith(`probe${m}_`) && open.reads!.length < 2) {
        narrow[narrow.length - 1] = { ...open, reads: [...open.reads!, name] }
        continue
      }
      narrow.push({
        name: `probe${m}_${i}`,
        reads: [name],
        minutes: draw.int(3, 12),
        ...(likely(15) ? { costs: draw.int(2, 10) } : {}),
      })
    }
    for (const part of parts) {
      if (likely(50))
        repairs.push({ name: `try_${part}`, swaps: part, minutes: draw.int(6, 25), tries: draw.int(1, 3) })
      else if (likely(20))
        repairs.push({
          name: `without_${part}`,
          removes: part,
          minutes: draw.int(2, 8),
          tries: draw.int(1, 3),
        })
    }
    for (const setup of setups) {
      if (likely(80))
        repairs.push({
          name: `redo_${setup}`,
          redoes: [setup],
          minutes: draw.int(2, 10),
          tries: draw.int(1, 3),
        })
    }
  }

  const overview: SketchTest[] = []
  for (let s = 0; s < sections; s++) {
    if (sections === 1) break
    upset(
      `section${s}`,
      sectionFaults[s]!.filter(() => likely(97)),
      0.01,
      [90, 99],
      3,
    )
    overview.push({ name: `check${s}`, reads: [`section${s}`], minutes: draw.int(1, 3) })
  }
  // The indicator names a section, not always the right one, or nothing.
  const codes = ["none", ...sectionFaults.map((_, s) => `code${s}`)]
  if (sections > 1) {
    readings.push({
      name: "indicator",
      cells: codes,
      healthy: codes.map((_, i) => (i === 0 ? 0.94 : 0.06 / sections)),
    })
    sectionFaults.forEach((own, s) => {
      for (const fault of own) {
        const p = percent(60, 95)
        shows[fault]!.indicator = codes.map((_, i) =>
          i === s + 1 ? p : i === 0 ? (1 - p) * 0.7 : ((1 - p) * 0.3) / (sections - 1 || 1),
        )
      }
    })
    overview.unshift({ name: "see_indicator", reads: ["indicator"], minutes: 1 })
  }
  const questions = Math.min(8, Math.ceil(count / 15))
  for (let q = 0; q < questions; q++) {
    const name = `told${q}`
    readings.push({
      name,
      cells: ["yes", "no"],
      told: true,
      trust: pick([0.6, 0.8, 0.9]),
      minutes: 0.5,
      healthy: [0.1, 0.9],
    })
    // Of a small machine a question is about single faults.
    const about = new Set(Array.from({ length: modules }, (_, m) => m).filter(() => likely(20)))
    for (const [f, { name: fault }] of faults.entries()) {
      if (modules > 3 ? about.has(Math.floor((f * modules) / count)) : likely(25))
        shows[fault]![name] = [0.8, 0.2]
    }
  }

  // Tests for what fails often are written first.
  const oddsOf = (test: SketchTest) =>
    faults
      .filter(({ name, in: place }) =>
        test.reads
          ? test.reads.some((r) => shows[name]![r])
          : place === test.swaps || place === test.removes || test.redoes?.includes(place),
      )
      .reduce((sum, { odds }) => sum + odds, 0)
  const mixed = [...narrow, ...repairs]
    .map((test) => ({ test, odds: oddsOf(test) }))
    .sort((a, b) => b.odds - a.odds)
    .map(({ test }) => test)
  const wanted = [...overview, ...broad, ...mixed].slice(0, Math.max(0, most - questions))
  return {
    bench: 60,
    comeback: draw.int(8, 20) * 10,
    handover: draw.int(20, 50) * 10,
    waiting: pick([0, 0.5, 2]),
    trust: pick([0.8, 0.9, 0.95]),
    second: pick([0.02, 0.05, 0.08]),
    unlisted: pick([0.02, 0.05]),
    complaint: { minutes: pick([0.5, 1, 2]), tries: draw.int(1, 2) },
    places,
    faults: faults.map((fault) => ({ ...fault, shows: shows[fault.name]! })),
    readings,
    tests: wanted,
    rules,
    nevers: [],
    proofs: [{ times: draw.int(1, 4), minutes: draw.int(1, 3) }],
  }
}
