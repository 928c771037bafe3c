import type { Condition, Declaration, Name, Quantity, Text } from "../syntax-tree.ts"
import { type Atom, conditionOf, faultsOf, listOf, quantityOf, textOf, typeOf } from "./atoms.ts"
import type { Piece, Sheet } from "./layout.ts"

type Place = Piece["place"]

/** What the printer lays out: the head of a declaration and its clauses, in the order in which they were written. */
export function sheetOf(declaration: Declaration): Sheet {
  const clauses = clausesOf(declaration)
  const written = clauses.every((clause) => clause.atoms[0]!.at >= 0)
  // Of a tree that was built and not read, the order of the reference stands.
  if (written) clauses.sort((a, b) => a.atoms[0]!.at - b.atoms[0]!.at)
  const hasColumns = declaration.kind !== "rule" && declaration.kind !== "never"
  return { head: headOf(declaration), clauses, comments: declaration.inner, hasColumns }
}

/** Keyword, name and text each on its own, so that they can stand in columns. */
function headOf(d: Declaration): Atom[] {
  const at = d.keyword.start
  if (d.kind === "rule") {
    const words = d.name === undefined ? "when" : `rule ${d.name.text}: when`
    return d.condition === undefined
      ? [{ text: words, at }]
      : startAt(at, conditionOf(d.condition, `${words} `))
  }
  if (d.kind === "never")
    return d.condition === undefined
      ? [{ text: "never", at }]
      : startAt(at, conditionOf(d.condition, "never "))
  const name = "name" in d ? d.name?.text : undefined
  const text = textIn(d)
  const cells = [d.kind, name, text && textOf(text)].filter((cell) => cell !== undefined)
  return cells.map((cell) => ({ text: cell, at }))
}

/** The head begins at its keyword, not at the condition behind it. */
function startAt(at: number, [first, ...others]: Atom[]): Atom[] {
  return [{ text: first!.text, at }, ...others]
}

function textIn(d: Declaration): Text | undefined {
  switch (d.kind) {
    case "ruleset":
      return d.title
    case "use":
      return d.path
    case "told":
    case "reading":
      return d.question
    case "test":
      return d.instruction
    case "complaint":
    case "proof":
      return d.text
    case "rule":
    case "never":
      return undefined
    default:
      return d.label
  }
}

/** Collects clauses; each method leaves out what the declaration does not have. */
class Clauses {
  readonly all: Piece[] = []

  put(column: string, atoms: readonly Atom[], place: Place = "line"): void {
    if (atoms.length > 0) this.all.push({ column, atoms, place })
  }

  quantity(words: string, quantity: Quantity | undefined, place?: Place, after = ""): void {
    if (quantity === undefined) return
    this.put(words, [{ text: `${words} ${quantityOf(quantity)}${after}`, at: quantity.span.start }], place)
  }

  text(words: string, text: Text | undefined, place?: Place): void {
    if (text !== undefined)
      this.put(words, [{ text: `${words} ${textOf(text)}`, at: text.span.start }], place)
  }

  name(words: string, name: Name | undefined, place?: Place): void {
    if (name !== undefined) this.put(words, [{ text: `${words} ${name.text}`, at: name.span.start }], place)
  }

  names(words: string, names: readonly Name[], place?: Place): void {
    this.put(words, listOf(`${words} `, names), place)
  }

  condition(words: string, condition: Condition, place: Place, chance?: Quantity): void {
    this.put(words, conditionOf(condition, `${words} `, chance && ` ${quantityOf(chance)}`), place)
  }
}

function clausesOf(d: Declaration): Piece[] {
  const c = new Clauses()
  switch (d.kind) {
    case "ruleset":
      c.text("version", d.version, "own")
      c.name("money", d.money, "own")
      c.quantity("bench", d.bench, "own", " per hour")
      c.quantity("comeback costs", d.comeback, "own")
      c.quantity("handover costs", d.handover, "own")
      c.quantity("trust", d.trust, "own")
      break
    case "part":
      c.quantity("price", d.price)
      if (d.spare !== undefined) c.put("spare", [{ text: "spare", at: d.spare.start }])
      c.names("behind", d.behind)
      break
    case "setup":
      c.name("of", d.of)
      c.names("behind", d.behind)
      c.quantity("redo cures", d.cures)
      break
    case "fault":
      c.name("in", d.place)
      c.quantity("odds", d.odds)
      for (const { what, condition, chance } of d.shows) {
        if (condition !== undefined) c.condition(`shows ${what.text}`, condition, "own", chance)
        else
          c.put(
            "shows",
            [{ text: `shows ${what.text}${chance ? ` ${quantityOf(chance)}` : ""}`, at: what.span.start }],
            "own",
          )
      }
      c.text("remedy", d.remedy, "own")
      c.quantity("fix costs", d.fixCosts, "below")
      c.quantity("fix takes", d.fixTakes, "below")
      break
    case "told":
    case "reading":
      if (d.type !== undefined) c.put("type", typeOf(d.type))
      c.quantity("trust", d.trust)
      c.quantity("takes", d.takes)
      if (d.normally !== undefined) c.condition("normally", d.normally.condition, "own", d.normally.chance)
      break
    case "test":
      putTest(c, d)
      break
    case "rule":
      if (d.verb !== undefined && d.faults !== undefined) c.put("faults", faultsOf(d.verb, d.faults))
      c.text("because", d.because, "own")
      break
    case "proof":
      c.quantity("times", d.times)
      c.quantity("takes", d.takes)
      if (d.expects !== undefined)
        c.condition(`expects ${d.expects.reading.text}`, d.expects.condition, "line")
      c.names("for", d.places)
      break
  }
  return c.all
}

function putTest(c: Clauses, d: Declaration & { kind: "test" }): void {
  c.put("kind", listOf("reads ", d.reads))
  if (d.swaps !== undefined) c.put("kind", [{ text: `swaps ${d.swaps.text}`, at: d.swaps.span.start }])
  const setups = d.redoes.map((item) => item.setup)
  const cures = (i: number) => (d.redoes[i]?.cures ? ` ${quantityOf(d.redoes[i].cures)}` : "")
  c.put(d.swaps === undefined ? "kind" : "redoes", listOf("redoes ", setups, cures))
  c.quantity("takes", d.takes)
  c.quantity("costs", d.costs)
  for (const { part, chance } of d.risks)
    c.put("risks", [{ text: `risks ${part.text} ${quantityOf(chance)}`, at: part.span.start }])
  if (d.power !== undefined)
    c.put("power", [{ text: `power ${d.power.on ? "on" : "off"}`, at: d.power.span.start }])
  for (const tool of d.needs) c.text("needs", tool)
  c.quantity("tries", d.tries)
  c.names("after", d.after, "own")
  if (d.onlyIf !== undefined) c.condition("only if", d.onlyIf, "own")
  for (const caution of d.cautions) c.text("caution", caution, "own")
}
