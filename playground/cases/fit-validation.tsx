import { FEW_CASES, type Fit } from "../../compiler/cases/fit/fit.ts"
import {
  examplesText,
  leftOutText,
  lossText,
  partsText,
  tieText,
  untoldText,
  unusedTexts,
  verdictText,
} from "../../compiler/cases/fit/sentences.ts"
import type { Report } from "../../compiler/cases/report/report.ts"
import { countOf } from "../../compiler/wording/figures.ts"
import { CodeText } from "../ui/code-text.tsx"
import { percent } from "../ui/figures.ts"
import { Cause } from "./mistakes.tsx"

const MOST = 20

/** Cross-validation: the author's numbers and the fitted ones on cases that were not fitted to. */
export function Helps({ fit }: { fit: Fit }) {
  const { validation, few, ties } = fit
  return (
    <>
      {validation ? (
        <>
          <p role="status">
            <b>{verdictText(validation)}</b> {lossText(validation)}
          </p>
          <dl class="figures">
            <Pair
              name="Log loss of what was confirmed"
              was={validation.author.logLoss.toFixed(3)}
              is={validation.fitted.logLoss.toFixed(3)}
            />
            <Pair
              name="Likeliest was right"
              was={percent(validation.author.accuracy)}
              is={percent(validation.fitted.accuracy)}
            />
          </dl>
          <p class="small quiet">
            Tried on cases that were not fitted to: {partsText(validation.folds)}.{" "}
            {validation.ruledOut > 0 && <CodeText text={leftOutText(validation)} />}
          </p>
        </>
      ) : (
        <p role="status">{untoldText(fit)}</p>
      )}
      {unusedTexts(fit).map((text) => (
        <p key={text} class="small quiet">
          <CodeText text={text} />.
        </p>
      ))}
      {ties.length > 0 && (
        <details class="small">
          <summary>Numbers that these cases can't tell</summary>
          {ties.slice(0, MOST).map((tie) => (
            <p key={tieText(tie)}>
              <CodeText text={tieText(tie)} />.
            </p>
          ))}
        </details>
      )}
      {few.length > 0 && (
        <details class="small">
          <summary>
            {countOf(few.length, "fault")} confirmed by fewer than {FEW_CASES} cases, whose numbers stay close
            to the author's
          </summary>
          <p>
            <CodeText text={few.map(({ fault, cases }) => `\`${fault}\` ${cases}`).join(", ")} />
          </p>
        </details>
      )}
    </>
  )
}

function Pair({ name, was, is }: { name: string; was: string; is: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{is}</dd>
      <dd class="small quiet">as written {was}</dd>
    </div>
  )
}

/** What is written as always or never so, and cases speak against. */
export function Contradicted({ fit, report }: { fit: Fit; report: Report | undefined }) {
  const { contradicted } = fit
  if (contradicted.length === 0) return null
  return (
    <>
      <h3>Cases contradict what the text says is always or never so</h3>
      <p class="small quiet">The fit changes none of this. Look at each.</p>
      <ul class="notes">
        {contradicted.slice(0, MOST).map((each) => (
          <li key={JSON.stringify(each)}>
            {each.count} of {each.of} <code class="ticked">{each.fault}</code>, found{" "}
            <CodeText text={each.found} />: <Cause mistake={each} report={report} />
            <span class="quiet"> {examplesText(each)}</span>
          </li>
        ))}
      </ul>
      {contradicted.length > MOST && <p class="small quiet">and {contradicted.length - MOST} more</p>}
    </>
  )
}
