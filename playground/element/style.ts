import base from "../style/base.css?inline"
import bench from "../style/bench.css?inline"
import board from "../style/board.css?inline"
import tokens from "../style/tokens.css?inline"

/** Made with the first bench. */
let made: CSSStyleSheet | undefined

/** All benches of a page share it. A sheet that is made needs no leave of the page's policy. */
export function benchStyle(): CSSStyleSheet {
  if (!made) {
    made = new CSSStyleSheet()
    made.replaceSync(tokens + base + bench + board)
  }
  return made
}
