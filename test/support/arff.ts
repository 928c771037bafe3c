/** A table of nominal attributes; `?` (missing) is kept as it stands. */
export interface Table {
  readonly attributes: readonly { readonly name: string; readonly values: readonly string[] }[]
  readonly rows: readonly (readonly string[])[]
}

/** Reads the part of the attribute-relation file format that nominal tables use. */
export function readArff(text: string): Table {
  const attributes: { name: string; values: string[] }[] = []
  const rows: string[][] = []
  for (const line of text.split(/\r?\n/).map((each) => each.trim())) {
    if (line === "" || line.startsWith("%") || /^@(relation|data)/i.test(line)) continue
    const attribute = /^@attribute\s+(\S+)\s*\{(.*)\}$/i.exec(line)
    if (attribute)
      attributes.push({ name: unquoted(attribute[1]!), values: attribute[2]!.split(",").map(unquoted) })
    else if (line.startsWith("@")) throw new Error(`not a nominal attribute: ${line}`)
    else rows.push(line.split(",").map(unquoted))
  }
  for (const row of rows) {
    if (row.length !== attributes.length) throw new Error(`a row of ${row.length} values: ${row}`)
    for (const [i, value] of row.entries()) {
      if (value !== "?" && !attributes[i]!.values.includes(value))
        throw new Error(`${value} is not declared: ${row}`)
    }
  }
  return { attributes, rows }
}

function unquoted(word: string): string {
  return word.trim().replace(/^'(.*)'$/, "$1")
}
