import StartIcon from "lucide/dist/esm/icons/arrow-left-to-line.mjs"
import SaveIcon from "lucide/dist/esm/icons/image-down.mjs"
import OutlineIcon from "lucide/dist/esm/icons/list-tree.mjs"
import WholeIcon from "lucide/dist/esm/icons/scan.mjs"
import InIcon from "lucide/dist/esm/icons/zoom-in.mjs"
import OutIcon from "lucide/dist/esm/icons/zoom-out.mjs"
import type { RefObject } from "preact"
import { grouped } from "../../compiler/wording/figures.ts"
import { percent } from "../ui/figures.ts"
import { Tool } from "../ui/tool.tsx"
import type { CanvasHandle } from "./canvas.tsx"
import { isOutlineShown } from "./view-state.ts"
import type { Fold } from "./visible.ts"

export function OutlineSwitch() {
  return (
    <Tool
      icon={OutlineIcon}
      aria-pressed={isOutlineShown.value}
      onClick={() => {
        isOutlineShown.value = !isOutlineShown.value
      }}
    >
      Outline
    </Tool>
  )
}

interface FoldProps {
  readonly folds: readonly Fold[]
  readonly least: number
  readonly onFold: (share: number) => void
}

export function FoldSelect({ folds, least, onFold }: FoldProps) {
  return (
    <label class="row small">
      Fold below
      <select value={String(least)} onChange={(event) => onFold(Number(event.currentTarget.value))}>
        {folds.map(({ share, nodes, fits }) => (
          <option key={share} value={String(share)} disabled={!fits}>
            {share === 0 ? "nothing" : `${percent(share)} of jobs`}
            {!fits && `: ${grouped(nodes)} nodes, too many to draw`}
          </option>
        ))}
      </select>
    </label>
  )
}

interface CameraProps {
  readonly canvas: RefObject<CanvasHandle | null>
  readonly start: number
  readonly onSave: (() => void) | undefined
}

export function Camera({ canvas, start, onSave }: CameraProps) {
  return (
    <>
      <Tool icon={OutIcon} aria-label="Zoom out" onClick={() => canvas.current?.zoom(1 / 1.4)} />
      <Tool icon={InIcon} aria-label="Zoom in" onClick={() => canvas.current?.zoom(1.4)} />
      <Tool icon={WholeIcon} onClick={() => canvas.current?.whole()}>
        Whole
      </Tool>
      <Tool icon={StartIcon} onClick={() => canvas.current?.show(start)}>
        Start
      </Tool>
      <Tool icon={SaveIcon} onClick={onSave} disabled={!onSave}>
        Save SVG
      </Tool>
    </>
  )
}
