import type { ComponentChildren } from "preact"
import { openProject } from "../actions/text.ts"
import { project } from "../state/state.ts"
import { ExampleList } from "../ui/example-list.tsx"
import { BoardPicture, GraphPicture, TextPicture } from "../ui/station-pictures.tsx"
import { SKELETON } from "./skeleton.ts"

/** Three ways to begin. */
export function Welcome({ onStart }: { onStart: () => void }) {
  return (
    <div class="page welcome">
      <div class="welcome-head">
        <h2>What can be wrong with the machine, and what does each finding rule out?</h2>
        <p>
          Write it down here. Your text is checked as you type and compiled to the cheapest way to get the
          machine repaired, which you can follow at the bench. Nothing leaves this browser.
        </p>
        <ol class="welcome-way">
          <Stage picture={<TextPicture />} says="What a senior knows, line by line" />
          <Stage picture={<GraphPicture />} says="The cheapest plan, with its proof" />
          <Stage picture={<BoardPicture />} says="The job, one suspect struck after another" />
        </ol>
      </div>
      <div class="ways">
        <section class="card">
          <h3>A small ruleset</h3>
          <p>Two parts, two setups, four tests: small enough to see what each line does.</p>
          <button
            type="button"
            class="main"
            onClick={() => {
              openProject({ root: project.value.root, files: { [project.value.root]: SKELETON } })
            }}
          >
            Start with a skeleton
          </button>
        </section>
        <section class="card">
          <h3>An empty file</h3>
          <p>
            Press Ctrl+Space anywhere to see what can come next. The handbook goes{" "}
            <a href="#help/from-a-notebook">from a notebook page to a ruleset</a> in half an hour.
          </p>
          <button type="button" onClick={onStart}>
            Start empty
          </button>
        </section>
        <section class="card examples">
          <h3>An example</h3>
          <p>A whole machine, most with recorded cases.</p>
          <ExampleList />
        </section>
      </div>
    </div>
  )
}

function Stage({ picture, says }: { picture: ComponentChildren; says: string }) {
  return (
    <li>
      {picture}
      <p class="small quiet">{says}</p>
    </li>
  )
}
