/**
 * What was changed in each file, in order, so that undo goes on after a reload: the text it began with, and every change
 * of it. Steps that were undone are taken out again.
 */
export interface Change {
  readonly at: number
  /** Characters that it took out. */
  readonly out: number
  readonly text: string
}

export interface Journal {
  readonly base: string
  /** Each step is the changes of one stroke, in the order to make them. */
  readonly steps: readonly (readonly Change[])[]
}

/** Steps and characters that are kept; what is older can't be undone after a reload. */
const most = { steps: 2000, length: 400_000 }

interface Open {
  base: string
  steps: (readonly Change[])[]
  /** What the editor calls the text before the first step, and after each. */
  ids: number[]
}

/** By file that is in the editor. */
const open = new Map<string, Open>()

/** Begins the journal of a file, whose text is now that of the journal's last step. */
export function openJournal(file: string, { base, steps }: Journal, ids: readonly number[]): void {
  open.set(file, { base, steps: [...steps], ids: [...ids] })
}

/** `id`: what the editor calls the text after the step; an undone step has the name of an earlier text. */
export function record(file: string, step: readonly Change[], id: number): void {
  const journal = open.get(file)
  if (!journal) return
  const known = journal.ids.lastIndexOf(id)
  if (known >= 0) {
    journal.steps.length = known
    journal.ids.length = known + 1
    return
  }
  journal.steps.push(step)
  journal.ids.push(id)
  shorten(journal)
}

export function closeJournal(file: string): void {
  open.delete(file)
}

function shorten(journal: Open): void {
  const { steps, ids } = journal
  let length = steps.reduce((sum, step) => sum + lengthOf(step), 0)
  let drop = Math.max(0, steps.length - most.steps)
  for (const [i, step] of steps.entries()) {
    if (i >= drop && length <= most.length) break
    length -= lengthOf(step)
    drop = Math.max(drop, i + 1)
  }
  journal.base = steps.slice(0, drop).reduce(changed, journal.base)
  steps.splice(0, drop)
  ids.splice(0, drop)
}

const lengthOf = (step: readonly Change[]) => step.reduce((sum, { text }) => sum + text.length, 0)

function changed(text: string, step: readonly Change[]): string {
  return step.reduce((so, { at, out, text: added }) => so.slice(0, at) + added + so.slice(at + out), text)
}

/** As it is kept, by file. */
export function journals(): Record<string, Journal> {
  return Object.fromEntries([...open].map(([file, { base, steps }]) => [file, { base, steps: [...steps] }]))
}

/** As they were stored, for files that the editor hasn't opened yet. */
let kept: Readonly<Record<string, Journal>> = {}

export function bringJournals(value: unknown): void {
  if (typeof value === "object" && value !== null) kept = value as Record<string, Journal>
}

/** The journal that ends in this text; one without steps where none was kept. */
export function keptJournal(file: string, text: string): Journal {
  const journal = Object.hasOwn(kept, file) ? kept[file] : undefined
  return journal && endsIn(journal, text) ? journal : { base: text, steps: [] }
}

function endsIn({ base, steps }: Journal, text: string): boolean {
  try {
    return steps.reduce(changed, base) === text
  } catch {
    return false
  }
}

/** Whether a step goes on typing where the last one ended: one undo takes both back. */
export function goesOn(before: readonly Change[] | undefined, step: readonly Change[]): boolean {
  const [last, ...more] = before ?? []
  const [now, ...others] = step
  if (!last || !now || more.length > 0 || others.length > 0) return false
  return now.out === 0 && last.out === 0 && now.at === last.at + last.text.length && /^\w/.test(now.text)
}
