import { createElement, render } from "preact"
import drawingStyle from "./drawing.css?inline"
import { Drawing, type DrawingProps } from "./drawing.tsx"

const MARGIN = 24

/** The whole drawing as a standalone file, in light colours because it is mostly printed. */
export function drawingAsSvg(props: Omit<DrawingProps, "window" | "words" | "chosen">): string {
  const { width, height } = props.layout
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg")
  svg.setAttribute("viewBox", `${-MARGIN} ${-MARGIN} ${width + 2 * MARGIN} ${height + 2 * MARGIN}`)
  svg.setAttribute("width", String(Math.round(width + 2 * MARGIN)))
  svg.setAttribute("height", String(Math.round(height + 2 * MARGIN)))
  const all = {
    left: Number.NEGATIVE_INFINITY,
    top: Number.NEGATIVE_INFINITY,
    right: Number.POSITIVE_INFINITY,
    bottom: Number.POSITIVE_INFINITY,
  }
  render(createElement(Drawing, { ...props, window: all, words: true, chosen: undefined }), svg)
  const style = document.createElementNS("http://www.w3.org/2000/svg", "style")
  style.textContent = `svg{color-scheme:light;font-family:sans-serif;--card:#fff;--ink:#1a2325;--quiet:#4b585a;--line:#cdd3cd;--edge:#7b8a8a;--accent:#0b5863;--accent-soft:#dcecee;--good:#1b6437;--good-soft:#e0f0e4;--warn:#7a4a00;--warn-soft:#fdf0d3}${drawingStyle}`
  svg.prepend(style)
  return new XMLSerializer().serializeToString(svg)
}
