import type { Model, Proof } from "../../../compiler/model/model.ts"
import { activeFaults, type Hypothesis, isUnlisted, type State, sameList, sum } from "./beliefs.ts"

type Out = { has(place: number): boolean }

/** The chances of the cells of a reading that is taken now. */
export function cellChances(model: Model, hypothesis: Hypothesis, out: Out, reading: number): number[] {
  const { told, trust, cells } = model.readings[reading]!
  if (told) {
    const base = baseMeasure(model, reading)
    return drawn(model, hypothesis, hypothesis.faults, reading).map(
      (chance, cell) => trust * chance + (1 - trust) * base[cell]!,
    )
  }
  const active = activeFaults(model, hypothesis, out)
  const before = hypothesis.takings.findLast(
    (taking) =>
      taking.reading === reading &&
      sameList(speaking(model, taking.active, reading), speaking(model, active, reading)),
  )
  if (before) return cells.map((_, cell) => (cell === before.cell ? 1 : 0))
  return drawn(model, hypothesis, active, reading)
}

function speaking(model: Model, faults: readonly number[], reading: number): number[] {
  return faults.filter((fault) => model.faults[fault]!.chances[reading] !== undefined)
}

/** A reading that is drawn anew: of healthy machines, of the one fault that speaks of it, or half of each of two. */
function drawn(model: Model, { faults }: Hypothesis, active: readonly number[], reading: number): number[] {
  const healthy = [...model.readings[reading]!.healthy]
  if (isUnlisted({ faults })) return mean([healthy, baseMeasure(model, reading)])
  const spoken = speaking(model, active, reading).map((fault) => [...model.faults[fault]!.chances[reading]!])
  return mean(spoken.length === 0 ? [healthy] : spoken)
}

function mean(distributions: readonly (readonly number[])[]): number[] {
  return distributions[0]!.map(
    (_, cell) => sum(distributions.map((each) => each[cell]!)) / distributions.length,
  )
}

function baseMeasure(model: Model, reading: number): number[] {
  const { cells } = model.readings[reading]!
  const all = sum(cells.map((cell) => cell.weight))
  return cells.map((cell) => cell.weight / all)
}

/** Chance that the complaint is seen in one try. */
export function showChance(model: Model, hypothesis: Hypothesis, out: Out): number {
  if (isUnlisted(hypothesis)) return 1
  let hidden = 1
  for (const fault of activeFaults(model, hypothesis, out)) hidden *= 1 - model.faults[fault]!.recurs
  return 1 - hidden
}

/** The proofs that count in this job: those for every job, and those for a place that something was done to. */
export function countingProofs(model: Model, { touched }: State): Proof[] {
  return model.proofs.filter(({ places }) => places.length === 0 || places.some((each) => touched.has(each)))
}

/** Chance that the proof run holds: the complaint is never seen, and each reading, read once, is as all proofs expect. */
export function proofChance(
  model: Model,
  hypothesis: Hypothesis,
  out: Out,
  proofs: readonly Proof[],
): number {
  let holds = (1 - showChance(model, hypothesis, out)) ** sum(proofs.map((proof) => proof.times))
  const expected = new Set(proofs.flatMap(({ expects }) => (expects ? [expects.reading] : [])))
  for (const reading of expected) {
    const own = proofs.filter(({ expects }) => expects?.reading === reading)
    const right = cellChances(model, hypothesis, out, reading).filter((_, cell) =>
      own.every(({ expects }) => expects!.cells[cell]),
    )
    holds *= sum(right)
  }
  return holds
}
