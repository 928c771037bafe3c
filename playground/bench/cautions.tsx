import CautionIcon from "lucide/dist/esm/icons/triangle-alert.mjs"
import type { ShownPicture } from "../../compiler/ship/pictures.ts"
import { Icon } from "../ui/icon.tsx"
import { Pictures } from "./pictures.tsx"

interface Props {
  readonly cautions: readonly string[]
  /** Those of the cautions among them are shown here. */
  readonly pictures: readonly ShownPicture[]
  readonly power?: "on" | "off" | undefined
  /** Work that opens or changes the machine: it has a caution even where the ruleset gives none. */
  readonly isRepair: boolean
}

/** Cautions come before everything else of a step. */
export function Cautions({ cautions, pictures, power, isRepair }: Props) {
  const lines = cautions.length > 0 ? cautions : usual(power, isRepair)
  if (lines.length === 0) return null
  return (
    <div class="cautions" role="note" aria-label="Caution">
      <p class="cautions-word">
        <Icon of={CautionIcon} size={20} /> Caution
      </p>
      <ul>
        {lines.map((text) => (
          <li key={text}>
            {text}
            <Pictures of={pictures.filter(({ caution }) => caution === text)} />
          </li>
        ))}
      </ul>
    </div>
  )
}

/** What is said where the author says nothing (common practice). */
function usual(power: Props["power"], isRepair: boolean): string[] {
  if (power === "on") return ["The machine is on while you do this."]
  return isRepair
    ? ["The ruleset gives no caution for this work. Make the machine safe before you open it."]
    : []
}

/** Said once a job, at its beginning. */
export function LocalCodes() {
  return (
    <p class="small local-codes">
      Local codes and licensed practice come before anything on this page. Don't work on live parts unless you
      are allowed and equipped to.
    </p>
  )
}
