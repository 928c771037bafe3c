import { examples, openExample } from "../actions/examples.ts"

/** The shipped rulesets: each opens in place of the text at hand. */
export function ExampleList() {
  return (
    <ul class="link-list">
      {examples.map((example) => (
        <li key={example.name}>
          <button
            type="button"
            class="plain link"
            aria-label={`Open the example ${example.title}`}
            onClick={() => openExample(example)}
          >
            {example.title}
          </button>
          {example.hasCases && <span class="small quiet"> with cases</span>}
        </li>
      ))}
    </ul>
  )
}
