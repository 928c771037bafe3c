import { existsSync, readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import { compile } from "../../compiler/compile.ts"
import { open } from "../../compiler/run/index.ts"
const rulesets = join(import.meta.dirname, "../../rulesets")
for (const name of readdirSync(rulesets)) {
  const folder = join(rulesets, name)
  if (!existsSync(join(folder, `${name}.ruleout`))) continue
  let t = performance.now()
  const { graph, diagnostics } = compile(`${name}.ruleout`, (path) => { const f = join(folder, path); return existsSync(f) ? readFileSync(f, "utf8") : undefined }, { effort: 300, mass: 0.01 })
  if (!graph) { console.log(name, "no graph", diagnostics.filter(d=>d.severity==="error").slice(0,2).map(d=>d.message)); continue }
  console.log(name, graph.faults.length, graph.tests.length, graph.second, graph.unlisted, "compile", (performance.now()-t).toFixed(0), "nodes", graph.nodes.length, "total", graph.expected.total.toFixed(2), graph.proof)
  t = performance.now(); let job = open(graph); console.log(" open", (performance.now()-t).toFixed(0))
  const free = open({ ...graph, nodes: [{ do: "advise", costToGo: 0 }], start: 0 })
  for (let k = 0; k < 3; k++) { t = performance.now(); const f2 = open({ ...graph, nodes: [{ do: "advise", costToGo: 0 }], start: 0 }); const n: any = f2.next; console.log(" advice", JSON.stringify(n.act ?? n.do), (performance.now()-t).toFixed(0), f2.outlook.cost.toFixed(2)) }
  t = performance.now(); JSON.stringify(free.steps); console.log(" steps", (performance.now()-t).toFixed(0))
  t = performance.now(); for (let i=0;i<12;i++){ const n: any = job.next; if (n.do==="end"||n.do==="handover") break; const o=[...n.outcomes].sort((a: any,b: any)=>b.chance-a.chance)[0]; job = job.answer(o.found) }; console.log(" job of", job.log.length, "steps", (performance.now()-t).toFixed(0), JSON.stringify((job.next as any).act ?? job.next.do))
}
