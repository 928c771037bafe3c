import CautionIcon from "lucide/dist/esm/icons/triangle-alert.mjs"
import type { ShownPicture } from "../../compiler/ship/pictures.ts"
import * as m from "../../compiler/wording/compiled/bench.ts"
import type { Message } from "../../compiler/wording/message.ts"
import type { Words } from "../../compiler/wording/words.ts"
import { Icon } from "../ui/icon.tsx"
import { Pictures } from "./pictures.tsx"

interface Props {
  readonly words: Words
  readonly cautions: readonly string[]
  /** Those of the cautions among them are shown here. */
  readonly pictures: readonly ShownPicture[]
  readonly power?: "on" | "off" | undefined
  /** Work that opens or changes the machine: it has a caution even where the ruleset gives none. */
  readonly isRepair: boolean
}

/** Cautions come before everything else of a step. */
export function Cautions({ words, cautions, pictures, power, isRepair }: Props) {
  const lines = cautions.length > 0 ? cautions : usual(power, isRepair).map((each) => words.say(each))
  if (lines.length === 0) return null
  return (
    <div class="cautions" role="note" aria-label={words.say(m.cautionWord)}>
      <p class="cautions-word">
        <Icon of={CautionIcon} size={20} /> {words.say(m.cautionWord)}
      </p>
      <ul>
        {lines.map((text) => (
          <li key={text}>
            {text}
            <Pictures words={words} of={pictures.filter(({ caution }) => caution === text)} />
          </li>
        ))}
      </ul>
    </div>
  )
}

/** What is said where the author says nothing (common practice). */
function usual(power: Props["power"], isRepair: boolean): Message[] {
  if (power === "on") return [m.machineIsOn]
  return isRepair ? [m.noCautionGiven] : []
}

/** Said once a job, at its beginning. */
export function LocalCodes({ words }: { words: Words }) {
  return <p class="small local-codes">{words.say(m.localCodes)}</p>
}
