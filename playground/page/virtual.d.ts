declare module "virtual:bench-page" {
  /** The bench page's script and style, bundled to one text each. */
  const parts: { readonly script: string; readonly style: string }
  export default parts
}

declare module "virtual:example-titles" {
  const titles: Readonly<Record<string, string>>
  export default titles
}

declare module "virtual:runner" {
  /** The runner bundled without imports, with a place for the graph. */
  const text: string
  export default text
}
