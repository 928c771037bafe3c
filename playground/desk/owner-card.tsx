import { useSignal } from "@preact/signals"
import type { Bill } from "../../compiler/ship/sheets/bill.ts"
import { amountIn, passesText } from "../../compiler/ship/sheets/terms.ts"
import * as m from "../../compiler/wording/compiled/desk.ts"
import type { OpenJob } from "../bench/open-job.ts"
import { useBill } from "./bills.ts"

interface Props {
  readonly job: OpenJob
  /** The owner is to be asked, with a sheet of paper. */
  readonly onAsk: () => void
}

/** What the owner pays, so far and in the end, the hours still to come, and where the owner stops. */
export function OwnerCard({ job, onAsk }: Props) {
  const { words } = job
  const bill = useBill(job)
  return (
    <section slot="more" class="card owner" aria-labelledby="owner-title">
      <h2 id="owner-title">{words.say(m.billTitle)}</h2>
      <Figures job={job} bill={bill} />
      <Limit job={job} />
      <Warning job={job} bill={bill} onAsk={onAsk} />
      {job.saved.value.notWorthRepairing && <p role="status">{words.say(m.endedNotWorth)}</p>}
    </section>
  )
}

/** With a place for each figure before it is known, so that nothing moves. */
function Figures({ job: { graph, session, words }, bill }: { job: OpenJob; bill: Bill | undefined }) {
  const amount = (of: number | undefined) => (of === undefined ? "–" : words.money(of, graph.money))
  const { outlook, next } = session.value
  const isOver = next.do === "end"
  return (
    <dl class="facts">
      <div>
        <dt>{words.say(m.soFar)}</dt>
        <dd>{amount(bill?.spent)}</dd>
      </div>
      <div>
        <dt>{words.say(m.inTheEnd)}</dt>
        <dd>{amount(bill?.expected)}</dd>
      </div>
      <div>
        <dt>{words.say(m.nineInTen)}</dt>
        <dd>{amount(bill?.high)}</dd>
      </div>
      <div>
        <dt>{words.say(m.workToCome)}</dt>
        <dd>{words.duration(isOver ? 0 : outlook.minutes)}</dd>
      </div>
      <div>
        <dt>{words.say(m.waitingToCome)}</dt>
        <dd>{bill?.waits === undefined ? "–" : words.duration(bill.waits)}</dd>
      </div>
    </dl>
  )
}

function Limit({ job }: { job: OpenJob }) {
  const { words } = job
  const { ownerStopsAt } = job.saved.value
  const wrong = useSignal(false)
  const take = (text: string) => {
    const amount = amountIn(text)
    wrong.value = text !== "" && amount === undefined
    if (!wrong.value) job.keep({ ownerStopsAt: amount })
  }
  return (
    <>
      <label class="field">
        {words.say(m.ownerStopsAt, { currency: job.graph.money })}
        <input
          type="text"
          inputMode="decimal"
          value={ownerStopsAt ?? ""}
          aria-invalid={wrong.value}
          aria-describedby={wrong.value ? "limit-wrong" : undefined}
          onChange={(event) => take(event.currentTarget.value.trim())}
        />
      </label>
      {wrong.value && (
        <p id="limit-wrong" class="warned" role="alert">
          {words.say(m.noAmount)}
        </p>
      )}
    </>
  )
}

/** That the bill passes what the owner wants to pay, or may, and the two ways on. */
function Warning({ job, bill, onAsk }: Props & { readonly bill: Bill | undefined }) {
  const { words } = job
  const { ownerStopsAt } = job.saved.value
  const text =
    bill === undefined || ownerStopsAt === undefined
      ? undefined
      : passesText(bill, ownerStopsAt, job.graph.money, words)
  if (text === undefined || job.session.value.next.do === "end") return null
  const stop = () => {
    if (job.change((session) => session.find({ handOver: true }, "done")))
      job.keep({ notWorthRepairing: true })
  }
  return (
    <div class="warned" role="status">
      <p>{text}</p>
      <p class="row">
        <button type="button" onClick={onAsk}>
          {words.say(m.sheetForOwner)}
        </button>
        <button type="button" onClick={stop}>
          {words.say(m.notWorthStop)}
        </button>
      </p>
    </div>
  )
}
