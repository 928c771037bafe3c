/** What each station will show, drawn small: for the pages on which there is nothing yet. Said in words beside them. */

const frame = { class: "picture", viewBox: "0 0 240 150" } as const

/** Lines of a text, some of them words of the language. */
export function TextPicture() {
  const lines = [
    [46, 70],
    [30, 92],
    [38, 60],
    [30, 110],
    [46, 84],
    [52, 60],
  ] as const
  return (
    <svg {...frame} aria-hidden="true">
      <rect class="sheet" x="20" y="10" width="200" height="130" rx="6" />
      {lines.map(([word, rest], i) => (
        <g key={i}>
          <rect class="word" x="34" y={26 + 18 * i} width={word} height="7" rx="3.500" />
          <rect class="soft" x={40 + word} y={26 + 18 * i} width={rest} height="7" rx="3.500" />
        </g>
      ))}
    </svg>
  )
}

/** A plan: steps, their outcomes, and how many jobs take each way. */
export function GraphPicture() {
  return (
    <svg {...frame} aria-hidden="true">
      <path class="flow" stroke-width="9" d="M78 75C100 75 96 38 118 38" />
      <path class="flow" stroke-width="4" d="M78 75C100 75 96 106 118 106" />
      <path class="flow" stroke-width="6" d="M172 38C190 38 184 26 200 26" />
      <path class="flow" stroke-width="3" d="M172 38C190 38 184 62 200 62" />
      <path class="flow" stroke-width="4" d="M172 106C188 106 186 112 200 112" />
      <rect class="box" x="20" y="58" width="60" height="34" rx="6" />
      <rect class="sheet" x="116" y="22" width="58" height="32" rx="6" />
      <rect class="sheet" x="116" y="90" width="58" height="32" rx="6" />
      <circle class="good" cx="206" cy="26" r="8" />
      <circle class="good" cx="206" cy="62" r="8" />
      <circle class="warn" cx="206" cy="112" r="8" />
    </svg>
  )
}

/** The board: parts, and suspects struck through in them. */
export function BoardPicture() {
  const suspect = (x: number, y: number, width: number, isOut: boolean) => (
    <g key={`${x} ${y}`}>
      <rect class="soft" x={x} y={y} width={width} height="7" rx="3.500" />
      {isOut && <path class="strike" d={`M${x - 4} ${y + 3.5}h${width + 8}`} />}
    </g>
  )
  return (
    <svg {...frame} aria-hidden="true">
      <rect class="sheet" x="14" y="14" width="98" height="78" rx="6" />
      <rect class="sheet" x="124" y="14" width="102" height="52" rx="6" />
      <rect class="here" x="124" y="78" width="102" height="58" rx="6" />
      <rect class="dashed" x="14" y="104" width="98" height="32" rx="6" />
      {suspect(28, 28, 62, true)}
      {suspect(28, 46, 48, true)}
      {suspect(28, 64, 70, true)}
      {suspect(138, 28, 60, true)}
      {suspect(138, 46, 70, false)}
      {suspect(138, 92, 74, false)}
      {suspect(138, 110, 52, true)}
      {suspect(28, 116, 58, true)}
    </svg>
  )
}

/** Recorded jobs and how they end, fault by fault. */
export function CasesPicture() {
  const bars = [
    [120, 24],
    [92, 12],
    [70, 30],
    [44, 8],
  ] as const
  return (
    <svg {...frame} aria-hidden="true">
      <path class="line" d="M64 14V136" />
      {bars.map(([good, warn], i) => (
        <g key={good}>
          <rect class="soft" x="20" y={24 + 29 * i} width="36" height="7" rx="3.500" />
          <rect class="good" x="66" y={19 + 29 * i} width={good} height="17" />
          <rect class="warn" x={66 + good} y={19 + 29 * i} width={warn} height="17" />
        </g>
      ))}
    </svg>
  )
}
