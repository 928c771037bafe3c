interface Props {
  readonly cautions: readonly string[]
  readonly power?: "on" | "off" | undefined
}

/** Cautions come before everything else of a step. Live work always carries the usual reminder (common practice). */
export function Cautions({ cautions, power }: Props) {
  if (cautions.length === 0 && power !== "on") return null
  return (
    <div class="cautions" role="note" aria-label="Caution">
      <p class="cautions-word">
        <span aria-hidden="true">⚠</span> Caution
      </p>
      <ul>
        {cautions.map((text) => (
          <li key={text}>{text}</li>
        ))}
        {cautions.length === 0 && <li>The machine is on while you do this.</li>}
      </ul>
      <p class="small">
        Local codes and licensed practice come first. Do not work on live parts unless you are allowed and
        equipped to.
      </p>
    </div>
  )
}
