import type { CaseFinding } from "../../compiler/cases/read.ts"
import type { Report } from "../../compiler/cases/report.ts"
import { chosenCase } from "../actions/cases.ts"
import { Ticked } from "../ticked.tsx"

const most = 30

/** What the cases say about the ruleset: its mistakes, and what no case ever used. */
export function Findings({ report, findings }: { report: Report; findings: readonly CaseFinding[] }) {
  const idle = report.rules.filter((rule) => rule.used === 0)
  return (
    <div class="cases-columns">
      <section class="card" aria-labelledby="mistakes-title">
        <h2 id="mistakes-title">Ruled out the true fault</h2>
        {report.mistakes.length === 0 ? (
          <p class="quiet">In no case did a finding rule out the confirmed fault.</p>
        ) : (
          <ul class="notes">
            {report.mistakes.slice(0, most).map((each) => (
              <li key={`${each.line}${each.cause}${each.name}${each.at}`}>
                <button
                  type="button"
                  class="plain link"
                  onClick={() => {
                    chosenCase.value = each.line
                  }}
                >
                  {each.id}
                </button>{" "}
                {each.fault}: {each.because ?? each.name ?? each.cause}
                {each.at === undefined ? "" : ` (line ${each.at})`}, found <Ticked text={each.found} />
                {each.cameBack ? "; it came back" : ""}
              </li>
            ))}
          </ul>
        )}
      </section>
      <section class="card" aria-labelledby="idle-title">
        <h2 id="idle-title">Never exercised</h2>
        <h3>
          Rules: {idle.length} of {report.rules.length}
        </h3>
        <ul class="notes">
          {idle.slice(0, most).map((rule) => (
            <li key={rule.rule}>
              Line {rule.line}: {rule.because ?? rule.name ?? "a rule without a reason"}
            </li>
          ))}
        </ul>
        <h3>
          Branches: {report.branches.of - report.branches.taken} of {report.branches.of}
        </h3>
        <ul class="notes">
          {report.branches.idle.slice(0, 8).map((branch) => (
            <li key={`${branch.node}${branch.found}`}>
              {branch.step}: {branch.found}
            </li>
          ))}
        </ul>
      </section>
      {findings.length > 0 && (
        <section class="card" aria-labelledby="unread-title">
          <h2 id="unread-title">Not understood in the file</h2>
          <ul class="notes">
            {findings.slice(0, most).map((each) => (
              <li key={`${each.line}${each.path}${each.code}`}>
                Line {each.line}: <Ticked text={each.message} /> <span class="quiet">{each.help}</span>
              </li>
            ))}
          </ul>
          {findings.length > most && <p class="small quiet">and {findings.length - most} more</p>}
        </section>
      )}
    </div>
  )
}
