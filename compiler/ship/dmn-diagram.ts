import { lookUp } from "../run/lookup.ts"

const box = { width: 140, height: 48 }
const GAP = 24

/** The decision requirements as a picture (DMN 1.5, chapter 13): inputs below, the table, what is ruled out, what is doubted, what is left. */
export function diagram(inputs: readonly number[]): string {
  const width = Math.max(3, inputs.length) * (box.width + GAP) + GAP
  const center = (width - box.width) / 2
  const row = (n: number) => GAP + n * 2 * box.height
  const decisions = ["left", "ruled_out", "rules"]
  const places = [
    ...decisions.map((id, n) => ({ id, x: center, y: row(n) })),
    { id: "doubted", x: center + box.width + GAP, y: row(0) },
    ...inputs.map((index, n) => ({ id: `r${index}`, x: GAP + n * (box.width + GAP), y: row(3) })),
  ]
  const at = new Map(places.map((place) => [place.id, place]))
  const links = [
    { id: "i_ruled_out", from: "ruled_out", to: "left" },
    { id: "i_rules", from: "rules", to: "ruled_out" },
    { id: "i_doubted_rules", from: "rules", to: "doubted" },
    { id: "i_doubted_out", from: "ruled_out", to: "doubted" },
    ...inputs.map((index) => ({ id: `i_r${index}`, from: `r${index}`, to: "rules" })),
  ]
  const shape = ({
    id,
    x,
    y,
  }: (typeof places)[number]) => `      <dmndi:DMNShape id="s_${id}" dmnElementRef="${id}">
        <dc:Bounds x="${x}" y="${y}" width="${box.width}" height="${box.height}"/>
      </dmndi:DMNShape>
`
  const edge = ({ id, from, to }: (typeof links)[number]) => {
    const a = lookUp(at, from)
    const b = lookUp(at, to)
    return `      <dmndi:DMNEdge id="s_${id}" dmnElementRef="${id}">
        <di:waypoint x="${a.x + box.width / 2}" y="${a.y}"/>
        <di:waypoint x="${b.x + box.width / 2}" y="${b.y + box.height}"/>
      </dmndi:DMNEdge>
`
  }
  return `  <dmndi:DMNDI xmlns:dmndi="https://www.omg.org/spec/DMN/20230324/DMNDI/" xmlns:dc="http://www.omg.org/spec/DMN/20180521/DC/" xmlns:di="http://www.omg.org/spec/DMN/20180521/DI/">
    <dmndi:DMNDiagram id="diagram">
      <dmndi:Size width="${width}" height="${row(3) + box.height + GAP}"/>
${places.map(shape).join("")}${links.map(edge).join("")}    </dmndi:DMNDiagram>
  </dmndi:DMNDI>
`
}
