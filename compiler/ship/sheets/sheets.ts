import type { Graph, GraphTest } from "../../run/graph.ts"
import type { ActionStep, Session, Suspect } from "../../run/index.ts"
import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/sheets.ts"
import { dayText } from "../../wording/figures.ts"
import { placesText } from "../../wording/places.ts"
import { cellLabel } from "../../wording/ranges.ts"
import { capitalized, sentence } from "../../wording/sentence.ts"
import { english, type Words } from "../../wording/words.ts"
import { actTitle, effectsOf, entryText } from "../act-labels.ts"
import { markup } from "../escaping.ts"
import { powerText } from "../labels.ts"
import { type Bill, Bills, passes } from "./bill.ts"
import { choice, field, heading, lines, list, type Paper, paperPage, paragraph, table } from "./paper.ts"

export const SHEET_KINDS = ["intake", "job", "handover", "owner"] as const
export type SheetKind = (typeof SHEET_KINDS)[number]

/** What a sheet says beside what is known of the job. */
export interface SheetDetails {
  readonly paper: Paper
  /** What it says beside the texts of the graph; English if not given. */
  readonly words?: Words
  /** Of the job, never the name of a person. */
  readonly id?: string
  readonly date?: string
  /** What the owner wants to pay at most. */
  readonly ownerStopsAt?: number
  /** By entry of the log, what is to be said beside it: why something couldn't be done, or how long it took. */
  readonly remarks?: readonly (string | undefined)[]
  /** What the bench has to say beside the findings. */
  readonly notes?: string
}

const NAMES = {
  intake: m.sheetIntake,
  job: m.sheetJob,
  handover: m.sheetHandover,
  owner: m.sheetOwner,
} as const

/** What a sheet is written from. */
interface Sheet {
  readonly graph: Graph
  readonly session: Session
  readonly details: SheetDetails
  readonly words: Words
  readonly bills: Bills
}

/**
 * One sheet for a job, as a page for the printer. Everything from graph and job is escaped. `bills`: of this graph, for those
 * who write many sheets.
 */
export function sheet(
  kind: SheetKind,
  graph: Graph,
  session: Session,
  details: SheetDetails,
  bills = new Bills(graph),
): string {
  const { paper, words = english, id, date } = details
  const { title, version } = graph.ruleset
  const name = words.say(NAMES[kind])
  const body = { intake, job, handover, owner }[kind]({ graph, session, details, words, bills })
  return paperPage(`${name}: ${title}`, paper, words, [
    `<h1>${markup(name)}</h1>`,
    paragraph(words.say(m.sheetVersion, { title, version })),
    field(words.say(m.sheetJobId), id),
    field(words.say(m.sheetDate), date === undefined ? undefined : dayText(date, words)),
    paragraph(words.say(m.sheetLocalCodes), "small"),
    ...body,
  ])
}

function complaint({ graph, words }: Sheet): string[] {
  return [heading(words.say(common.complaint)), paragraph(capitalized(sentence(graph.complaint.text)))]
}

function intake({ graph, details: { ownerStopsAt }, words }: Sheet): string[] {
  const told = graph.readings.filter((reading) => reading.told)
  return [
    field(words.say(m.sheetSerial)),
    field(words.say(m.sheetCameWith)),
    heading(words.say(common.complaint)),
    choice(capitalized(sentence(graph.complaint.text)), [
      words.say(m.sheetSeenHere),
      words.say(m.sheetOnlyTold),
    ]),
    heading(words.say(m.sheetOwnerSays)),
    ...told.map(({ question, cells, by, unit = "" }) =>
      by === undefined
        ? choice(question, [...cells.map((cell) => cellLabel(cell, words)), words.say(m.sheetNotKnown)])
        : field(words.say(m.sheetInUnit, { question, unit })),
    ),
    field(
      words.say(m.sheetOwnerStopsAt, { currency: graph.money }),
      ownerStopsAt === undefined ? "" : words.money(ownerStopsAt, graph.money),
    ),
    heading(words.say(common.notes)),
    lines(4),
  ]
}

function job(sheet: Sheet): string[] {
  const { graph, session, words } = sheet
  const { next, log } = session
  return [
    ...complaint(sheet),
    ...doneAndFound(sheet),
    ...("act" in next ? nextStep(sheet, next, log.length + 1) : []),
    heading(words.say(m.sheetWhatCanBeDone)),
    table(
      [m.sheetStep, m.sheetTakes, m.sheetFound].map((each) => words.say(each)),
      graph.tests.map((test) => testRow(test, words)),
    ),
    heading(words.say(common.proofRun)),
    list(
      graph.proofs.map(({ text, times }) =>
        times > 1 ? words.say(m.sheetTimes, { what: text, n: times }) : text,
      ),
    ),
  ]
}

function testRow(test: GraphTest, words: Words): string[] {
  const { instruction, minutes, waits = 0, needs, power, cautions } = test
  const takes = [
    words.minutes(minutes),
    ...(waits > 0 ? [words.say(m.sheetTakesWaiting, { time: words.duration(waits) })] : []),
    ...needs,
    ...(power === undefined ? [] : [powerText(power, words)]),
  ]
  return [
    [...cautions.map((what) => words.say(common.caution, { what })), instruction].join(" "),
    takes.join(", "),
    "",
  ]
}

function nextStep({ graph, words }: Sheet, step: ActionStep, number: number): string[] {
  const tools = words.say(common.needsTools, { what: words.listed(step.needs) })
  const needs = step.needs.length === 0 ? [] : [capitalized(sentence(tools))]
  return [
    heading(words.say(m.sheetNext, { n: number })),
    ...step.cautions.map((what) => paragraph(words.say(common.caution, { what }), "caution")),
    paragraph(actTitle(graph, step.act, words)),
    list([...effectsOf(step, words), ...needs]),
    ...step.reads.map(({ question }) => field(question)),
  ]
}

function doneAndFound({ graph, session, details, words }: Sheet): string[] {
  const done = session.log.map((entry, i) => {
    const text = entryText(graph, entry, words)
    const remark = details.remarks?.[i]
    return remark === undefined
      ? words.say(m.sheetEntry, text)
      : words.say(m.sheetEntryRemark, { ...text, remark })
  })
  return [
    heading(words.say(common.doneAndFound)),
    done.length === 0 ? paragraph(words.say(common.nothingYet)) : list(done, "ol"),
  ]
}

function handover(sheet: Sheet): string[] {
  const { session, details, words } = sheet
  const { fitted, redone, whole } = session.standing
  const { notes = "" } = details
  return [
    ...complaint(sheet),
    ...doneAndFound(sheet),
    heading(words.say(m.sheetMachineNow)),
    list([
      ...(fitted.length > 0 ? [words.say(m.sheetShopsParts, { what: placesText(fitted, words) })] : []),
      ...(redone.length > 0 ? [words.say(m.sheetDoneAgain, { what: placesText(redone, words) })] : []),
      words.say(m.sheetWhole, { share: words.percent(whole) }),
    ]),
    ...suspected(sheet),
    heading(words.say(common.notes)),
    ...notes.split("\n").map((line) => paragraph(line)),
    lines(notes === "" ? 5 : 2),
  ]
}

const MOST_SUSPECTS = 8

function suspected({ session, words }: Sheet): string[] {
  const left = session.candidates.filter(({ present }) => present > 0)
  const named = ({ info, present }: Suspect) =>
    words.say(m.sheetLikelyOne, {
      what: info?.label ?? words.say(common.notListed),
      share: words.percent(present),
    })
  const n = left.length - MOST_SUSPECTS
  return [
    heading(words.say(m.sheetLikely)),
    list(left.slice(0, MOST_SUSPECTS).map(named)),
    ...(n > 0 ? [paragraph(words.say(m.sheetLessLikely, { n }))] : []),
  ]
}

const PASSES = {
  spent: m.sheetSpentPassed,
  expected: m.sheetExpectedPasses,
  high: m.sheetMayPass,
} as const

function owner(sheet: Sheet): string[] {
  const { graph, session, details, words, bills } = sheet
  const { ownerStopsAt } = details
  const bill = bills.of(session)
  const passed = ownerStopsAt === undefined ? undefined : passes(bill, ownerStopsAt)
  const limit = words.money(ownerStopsAt ?? 0, graph.money)
  return [
    ...complaint(sheet),
    ...(passed === undefined ? [] : [paragraph(words.say(PASSES[passed], { limit }), "caution")]),
    ...doneAndFound({ ...sheet, details: { paper: details.paper } }),
    ...suspected(sheet),
    heading(words.say(m.sheetWaysOn)),
    table(
      ["", words.say(m.sheetWholeBill), words.say(m.sheetComesOfIt)],
      [goOn(sheet, bill), ...repairs(sheet, bill.spent), stop(sheet, bill)],
    ),
    heading(words.say(m.sheetIDecide)),
    choice(
      "",
      [m.sheetChooseGoOn, m.sheetChooseStop, m.sheetChooseOnly].map((each) => words.say(each)),
    ),
    lines(1),
    field(words.say(m.sheetSignature)),
  ]
}

const wholeMoney = ({ graph, words }: Sheet, amount: number) => words.money(Math.round(amount), graph.money)

function goOn(sheet: Sheet, { expected, high }: Bill): string[] {
  const { session, words } = sheet
  const amount = wholeMoney(sheet, expected)
  return [
    words.say(m.sheetGoOn),
    high === undefined
      ? words.say(m.sheetAbout, { amount })
      : words.say(m.sheetAboutAndHigh, { amount, high: wholeMoney(sheet, high) }),
    words.say(m.sheetUnrepaired, { share: words.percent(session.outlook.handedOver) }),
  ]
}

function stop(sheet: Sheet, { spent }: Bill): string[] {
  const { words } = sheet
  return [words.say(m.sheetStopHere), wholeMoney(sheet, spent), words.say(m.sheetGoesBack)]
}

const MOST_REPAIRS = 3

/** The repairs most likely to cure it, each by itself: what it costs with all so far, and how likely it helps. */
function repairs(sheet: Sheet, spent: number): string[][] {
  const { graph, session, words } = sheet
  return session.steps
    .filter((step) => step.do === "replace" || step.do === "fix" || step.do === "keep")
    .map((step) => ({ step, helps: step.cures.reduce((sum, { active }) => sum + active, 0) }))
    .filter(({ helps }) => helps > 0)
    .sort((a, b) => b.helps - a.helps)
    .slice(0, MOST_REPAIRS)
    .map(({ step, helps }) => [
      actTitle(graph, step.act, words),
      wholeMoney(sheet, spent + step.cost + step.lookCost),
      words.say(m.sheetThisIsWrong, { share: words.percent(Math.min(1, helps)) }),
    ])
}
