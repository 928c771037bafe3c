import { useSignal } from "@preact/signals"
import { useEffect } from "preact/hooks"
import { grouped } from "../../compiler/wording/figures.ts"

/** ISO/IEC 18004:2024 holds 2,953 bytes in its largest symbol, with the least correction. */
const MOST_BYTES = 2953
/** Modules of white around it. */
const QUIET = 4

/** A text as a QR code, for a phone that stands beside; the code that draws it is fetched with the first. */
export function QrCode({ text, label }: { text: string; label: string }) {
  const drawn = useSignal<readonly boolean[][] | undefined>(undefined)
  const isTooLong = text.length > MOST_BYTES
  useEffect(() => {
    drawn.value = undefined
    if (isTooLong) return
    void import("qr").then(({ encodeQR }) => {
      drawn.value = encodeQR(text, "raw", { ecc: "low", border: QUIET })
    })
  }, [text, isTooLong, drawn])
  if (isTooLong)
    return (
      <p class="small quiet">
        Too long for a QR code, which holds {grouped(MOST_BYTES)} characters: ship the page instead.
      </p>
    )
  const rows = drawn.value
  if (!rows) return null
  const path = rows.flatMap((row, y) => row.map((isDark, x) => (isDark ? `M${x} ${y}h1v1h-1z` : "")))
  return (
    <svg
      class="qr-code"
      role="img"
      aria-label={label}
      viewBox={`0 0 ${rows.length} ${rows.length}`}
      shape-rendering="crispEdges"
    >
      <rect width="100%" height="100%" fill="#fff" />
      <path d={path.join("")} fill="#000" />
    </svg>
  )
}
