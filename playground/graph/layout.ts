/** Sizes in the units of the drawing, one to a CSS pixel at scale 1. */
export const NODE_WIDTH = 236
export const NODE_HEIGHT = 72
export const STUB_WIDTH = 120
export const STUB_HEIGHT = 26

export interface LayoutInput {
  readonly nodes: readonly number[]
  /** Nodes with a stub for their folded outcomes. */
  readonly stubs: readonly number[]
  readonly edges: readonly { readonly from: number; readonly to: number; readonly labelWidth: number }[]
}

export interface Point {
  /** Of the centre. */
  readonly x: number
  readonly y: number
}

export interface Layout {
  readonly width: number
  readonly height: number
  readonly nodes: ReadonlyMap<number, Point>
  readonly stubs: ReadonlyMap<number, Point>
  /** In the order of the input; `x`, `y` the middle of the label. */
  readonly edges: readonly { readonly points: readonly Point[]; readonly x: number; readonly y: number }[]
}
