/**
 * Draws finished jobs of a workshop, in a world that is not the ruleset's. Machines behave by its percentages, but
 *
 * - odds are three times too high, right, or three times too low, by the seed;
 * - one machine in ten has two of the listed faults, one in twenty something that nobody listed;
 * - 3 % of the readings are written down wrong, and the complaint shows 0.85 times as often as the ruleset says;
 * - the technician weighs findings by gut, and strays from the book (`deviations` in `workshop.ts`).
 *
 * The same seed gives the same cases, byte for byte. All of it is invented.
 */

import type { Model } from "../compiler/model/model.ts"
import { at } from "../compiler/run/lookup.ts"
import type { World } from "../test/support/hidden-machine.ts"
import { seeded } from "../test/support/models.ts"
import { type Chance, type Deviation, deviations, WorkshopJob } from "./workshop.ts"

const DAYS = 300
const FROM = Date.UTC(2025, 8, 1)

/** `count` jobs, the same for the same seed, and how often the workshop strayed, by kind. */
export function drawCases(model: Model, count: number, seed: number) {
  const tally = new Map<Deviation, number>()
  const draw = seeded(seed)
  const share = () => draw.int(0, 2 ** 30 - 1) / 2 ** 30
  const chance: Chance = {
    draw,
    share,
    strays(what) {
      const does = share() < deviations[what]
      if (does) tally.set(what, (tally.get(what) ?? 0) + 1)
      return does
    },
  }
  const factors = model.faults.map(() => 3 ** draw.int(-1, 1))
  const world: World = {
    name: "a workshop",
    rules: "plain",
    odds: (fault) => at(factors, fault),
    second: 0.1,
    unlisted: 0.05,
    misread: 0.03,
    recurs: 0.85,
  }
  const cases = Array.from({ length: count }, (_, i) => {
    const job = new WorkshopJob(model, world, chance)
    const { ended, comesBack } = job.play()
    const { faults } = job.machine
    return {
      id: `G-${String(i + 1).padStart(3, "0")}`,
      date: new Date(FROM + Math.floor(((i + 1) * DAYS) / count) * 86_400_000).toISOString().slice(0, 10),
      complaint: model.complaint.name,
      told: job.told,
      steps: job.steps,
      faults: faults.length === 0 ? ["unlisted"] : faults.map((fault) => at(model.faults, fault).name),
      confirmed: ended === "handed over" ? "found_elsewhere" : comesBack ? "second_visit" : "soak",
      came_back: comesBack,
    }
  })
  return { cases, tally }
}
