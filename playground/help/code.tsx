import { highlight } from "../../compiler/service/highlight.ts"
import { say } from "../state/state.ts"
import { isWhole } from "./is-whole-ruleset.ts"
import { openInEditor } from "./open.ts"

const captions: Record<string, string> = {
  "ruleout change": "The change",
  "ruleout frame": "What the examples add to",
  findings: "The compiler says",
  plan: "The plan",
  row: "The row",
  js: "JavaScript",
  jsonl: "The record",
}

/** A block of code of the handbook: rulesets in the colours of the editor, and what can be done with them. */
export function Code({ info, text }: { info: string; text: string }) {
  const ruleset = info.startsWith("ruleout")
  const whole = ruleset && isWhole(text)
  const caption = captions[info] ?? (ruleset ? (whole ? "A whole ruleset" : "In a ruleset") : "")
  return (
    <figure class={ruleset ? "help-code" : "help-code said"}>
      {caption !== "" && (
        <figcaption class="row">
          <span class="grow">{caption}</span>
          {ruleset && (
            <button type="button" class="plain" onClick={() => copy(text)}>
              Copy
            </button>
          )}
          {whole && (
            <button type="button" onClick={() => openInEditor(text)}>
              Open in the editor
            </button>
          )}
        </figcaption>
      )}
      <pre>
        {text.split("\n").map((line, i) => (
          <code key={i}>{ruleset ? <Colours line={line} /> : line}</code>
        ))}
      </pre>
    </figure>
  )
}

function Colours({ line }: { line: string }) {
  let at = 0
  const parts = highlight(line).map(({ start, end, look }) => {
    const before = line.slice(at, start)
    at = end
    return (
      <span key={start}>
        {before}
        <span class={`look-${look}`}>{line.slice(start, end)}</span>
      </span>
    )
  })
  return (
    <>
      {parts}
      {line.slice(at)}
    </>
  )
}

async function copy(text: string): Promise<void> {
  try {
    await navigator.clipboard.writeText(`${text}\n`)
    say("Copied.")
  } catch {
    say("This browser does not let a page copy. Mark the text and copy it yourself.", { bad: true })
  }
}
