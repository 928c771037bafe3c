import type { Graph } from "../../run/graph.ts"
import type { ActionStep, Session, Suspect } from "../../run/index.ts"
import { duration, minutes, money, percent } from "../../wording/figures.ts"
import { capitalized, listed, sentence } from "../../wording/sentence.ts"
import { actTitle, effectsOf, entryText } from "../act-labels.ts"
import { Bills, passes } from "./bill.ts"
import { choice, field, heading, lines, list, type Paper, paperPage, paragraph, table } from "./paper.ts"

export const SHEET_KINDS = ["intake", "job", "handover", "owner"] as const
export type SheetKind = (typeof SHEET_KINDS)[number]

/** What a sheet says beside what is known of the job. */
export interface SheetDetails {
  readonly paper: Paper
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
  const { title, version } = graph.ruleset
  const name = { intake: "Intake", job: "Job card", handover: "Handover", owner: "For the owner" }[kind]
  const body = { intake, job, handover, owner }[kind](graph, session, details, bills)
  return paperPage(`${name}: ${title}`, details.paper, [
    `<h1>${name}</h1>`,
    paragraph(`${title}, version ${version}`),
    field("Job", details.id),
    field("Date", details.date),
    paragraph(
      "Local codes and licensed practice come before anything on this sheet. Don't work on live parts unless you are allowed and equipped to.",
      "small",
    ),
    ...body,
  ])
}

function intake(graph: Graph, _: Session, { ownerStopsAt }: SheetDetails): string[] {
  const told = graph.readings.filter((reading) => reading.told)
  return [
    field("Machine, serial number"),
    field("What came with it"),
    heading("Complaint"),
    choice(capitalized(sentence(graph.complaint.text)), ["seen here", "only told"]),
    heading("What the owner says"),
    ...told.map(({ question, cells, unit }) => {
      const values = cells.flatMap(({ values: own = [] }) => own)
      return values.length > 0 ? choice(question, [...values, "not known"]) : field(`${question} (${unit})`)
    }),
    field(
      `The owner stops at (${graph.money})`,
      ownerStopsAt === undefined ? "" : money(ownerStopsAt, graph.money),
    ),
    heading("Notes"),
    lines(4),
  ]
}

function job(graph: Graph, session: Session, { remarks }: SheetDetails): string[] {
  const { next, log } = session
  const tests = graph.tests.map(({ instruction, minutes: work, waits = 0, needs, power, cautions }) => {
    const takes = [minutes(work), ...(waits > 0 ? [`${duration(waits)} of waiting`] : []), ...needs]
    return [
      [...cautions.map((caution) => `Caution: ${caution}`), instruction].join(" "),
      [...takes, ...(power === undefined ? [] : [`power ${power}`])].join(", "),
      "",
    ]
  })
  return [
    heading("Complaint"),
    paragraph(capitalized(sentence(graph.complaint.text))),
    ...doneAndFound(graph, session, remarks),
    ...("act" in next ? nextStep(graph, next, log.length + 1) : []),
    heading("What can be done"),
    table(["Step", "Takes", "Found"], tests),
    heading("Proof run"),
    list(graph.proofs.map(({ text, times }) => `${text}${times > 1 ? `, ${times} times` : ""}`)),
  ]
}

function nextStep(graph: Graph, step: ActionStep, number: number): string[] {
  return [
    heading(`Next: step ${number}`),
    ...step.cautions.map((caution) => paragraph(`Caution: ${caution}`, "caution")),
    paragraph(actTitle(graph, step.act)),
    list([...effectsOf(step), ...(step.needs.length === 0 ? [] : [`Needs ${listed(step.needs)}.`])]),
    ...step.reads.map(({ question }) => field(question)),
  ]
}

function doneAndFound(graph: Graph, { log }: Session, remarks: SheetDetails["remarks"] = []): string[] {
  const done = log.map((entry, i) => {
    const { what, found } = entryText(graph, entry)
    return `${what}: ${found}${remarks[i] === undefined ? "" : ` (${remarks[i]})`}`
  })
  return [heading("Done and found"), done.length === 0 ? paragraph("Nothing yet.") : list(done, "ol")]
}

function handover(graph: Graph, session: Session, { remarks, notes = "" }: SheetDetails): string[] {
  const { fitted, redone, whole } = session.standing
  const labels = (places: readonly { readonly label: string }[]) => listed(places.map(({ label }) => label))
  return [
    heading("Complaint"),
    paragraph(capitalized(sentence(graph.complaint.text))),
    ...doneAndFound(graph, session, remarks),
    heading("The machine now"),
    list([
      ...(fitted.length > 0 ? [`The shop's parts in it: ${labels(fitted)}`] : []),
      ...(redone.length > 0 ? [`Done again: ${labels(redone)}`] : []),
      `Chance that nothing is wrong with it as it stands: ${percent(whole)}`,
    ]),
    ...suspected(session),
    heading("Notes"),
    ...notes.split("\n").map((line) => paragraph(line)),
    lines(notes === "" ? 5 : 2),
  ]
}

const MOST_SUSPECTS = 8

function suspected({ candidates }: Session): string[] {
  const left = candidates.filter(({ present }) => present > 0)
  const named = ({ info, present }: Suspect) =>
    `${info?.label ?? "something not listed"}: ${percent(present)}`
  const more = left.length - MOST_SUSPECTS
  return [
    heading("What is likely"),
    list(left.slice(0, MOST_SUSPECTS).map(named)),
    ...(more > 0 ? [paragraph(`and ${more} less likely`)] : []),
  ]
}

function owner(graph: Graph, session: Session, { ownerStopsAt }: SheetDetails, bills: Bills): string[] {
  const bill = bills.of(session)
  const amount = (value: number) => money(Math.round(value), graph.money)
  const passed = ownerStopsAt === undefined ? undefined : passes(bill, ownerStopsAt)
  const limit = money(ownerStopsAt ?? 0, graph.money)
  const warning = {
    spent: `The work so far has passed ${limit}, at which you wanted to stop.`,
    expected: `The bill is expected to pass ${limit}, at which you wanted to stop.`,
    high: `The bill may pass ${limit}, at which you wanted to stop: it does in more than one job in ten like this.`,
  }
  return [
    heading("Complaint"),
    paragraph(capitalized(sentence(graph.complaint.text))),
    ...(passed === undefined ? [] : [paragraph(warning[passed], "caution")]),
    ...doneAndFound(graph, session),
    ...suspected(session),
    heading("What each way on would cost"),
    table(
      ["", "The whole bill", "What comes of it"],
      [
        [
          "Go on to the end",
          `about ${amount(bill.expected)}${bill.high === undefined ? "" : `; nine in ten at most ${amount(bill.high)}`}`,
          `The machine stays unrepaired in ${percent(session.outlook.handedOver)} of such jobs.`,
        ],
        ...repairs(graph, session, bill.spent),
        ["Stop here", amount(bill.spent), "The machine goes back as it is: not worth repairing."],
      ],
    ),
    heading("I decide"),
    choice("", ["go on to the end", "stop here", "repair only what I name:"]),
    lines(1),
    field("Date, signature"),
  ]
}

const MOST_REPAIRS = 3

/** The repairs most likely to cure it, each by itself: what it costs with all so far, and how likely it helps. */
function repairs(graph: Graph, { steps }: Session, spent: number): string[][] {
  return steps
    .filter((step) => step.do === "replace" || step.do === "fix" || step.do === "keep")
    .map((step) => ({ step, helps: step.cures.reduce((sum, { active }) => sum + active, 0) }))
    .filter(({ helps }) => helps > 0)
    .sort((a, b) => b.helps - a.helps)
    .slice(0, MOST_REPAIRS)
    .map(({ step, helps }) => [
      actTitle(graph, step.act),
      money(Math.round(spent + step.cost + step.lookCost), graph.money),
      `This is what is wrong with a chance of ${percent(Math.min(1, helps))}.`,
    ])
}
