import { SaxesParser, type SaxesTagNS } from "saxes"
import { rasterOf } from "./raster.ts"
import { ELEMENTS, FUNCTIONS, PLAIN_ATTRIBUTES, STYLE_ATTRIBUTES, WITH_TEXT } from "./svg-allowed.ts"
import { ShapeCount } from "./svg-size.ts"

/** A drawing without what could run, move or load something. */
export interface CleanSvg {
  readonly text: string
  readonly width?: number
  readonly height?: number
  /** What was left out, where an author would miss it: `scripts`. */
  readonly removed: readonly string[]
}

/** Why a drawing can't be taken, as a sentence goes on after its name: `isn't well-formed XML`. */
export class SvgError extends Error {}

const SVG = "http://www.w3.org/2000/svg"
const XLINK = "http://www.w3.org/1999/xlink"
const DEEPEST = 100
const MOST_SHAPES = 100_000

/** What is left out with all that is in it, and what it is called. */
const NAMED: Readonly<Record<string, string>> = {
  script: "scripts",
  foreignObject: "foreign objects",
  animate: "animations",
  animateMotion: "animations",
  animateTransform: "animations",
  set: "animations",
  feImage: "references to elsewhere",
}

/**
 * Writes a drawing anew from its allowed elements and attributes, with white space between elements, comments,
 * processing instructions and the document type left out. The same drawing gives the same text.
 *
 * @throws SvgError where it isn't well-formed or no SVG, or would draw too much
 */
export function cleanSvg(text: string): CleanSvg {
  const cleaner = new Cleaner()
  const parser = new SaxesParser({ xmlns: true })
  parser.on("error", ({ message }) => {
    throw new SvgError(`isn't well-formed XML (${message.replace(/^(?:undefined|\d+):/, "").trim()})`)
  })
  parser.on("opentag", (tag) => cleaner.open(tag))
  parser.on("closetag", () => cleaner.close())
  parser.on("text", (characters) => cleaner.characters(characters))
  parser.on("cdata", (characters) => cleaner.characters(characters))
  parser.write(text).close()
  return cleaner.finish()
}

class Cleaner {
  readonly #pieces: string[] = []
  readonly #removed = new Set<string>()
  readonly #count = new ShapeCount()
  /** Names of the elements that are open, empty if one is left out and what is in it stays. */
  readonly #open: string[] = []
  /** Elements that are open within one that is left out, itself included. */
  #dropped = 0
  #style = ""
  #size: Pick<CleanSvg, "width" | "height"> = {}

  open(tag: SaxesTagNS): void {
    if (this.#dropped > 0) this.#dropped++
    else if (this.#open.length === 0) this.#root(tag)
    else if (this.#open.length >= DEEPEST) throw new SvgError(`nests elements deeper than ${DEEPEST}`)
    else if (tag.uri === SVG && ELEMENTS.has(tag.local)) this.#element(tag)
    else if (tag.uri === SVG && tag.local === "a") this.#unwrap()
    else this.#drop(tag)
  }

  close(): void {
    if (this.#dropped > 0) {
      this.#dropped--
      return
    }
    const name = this.#open.pop()
    if (!name) return
    if (name === "style") this.#writeStyle()
    this.#count.leave()
    this.#pieces.push(`</${name}>`)
  }

  characters(text: string): void {
    const name = this.#open.at(-1) ?? ""
    if (this.#dropped > 0 || !WITH_TEXT.has(name)) return
    if (name === "style") this.#style += text
    else this.#pieces.push(escaped(text))
  }

  finish(): CleanSvg {
    if (this.#count.total > MOST_SHAPES)
      throw new SvgError("draws too many shapes: its references multiply them")
    return { text: this.#pieces.join(""), ...this.#size, removed: [...this.#removed] }
  }

  #root(tag: SaxesTagNS): void {
    if (tag.uri !== SVG || tag.local !== "svg")
      throw new SvgError(
        tag.local === "svg" ? `has no \`xmlns="${SVG}"\`, without which browsers don't draw it` : "isn't SVG",
      )
    this.#size = sizeOf(tag)
    this.#element(tag, ` xmlns="${SVG}"`)
  }

  #element(tag: SaxesTagNS, own = ""): void {
    const { local, attributes } = tag
    const refers: string[] = []
    // By name: what an older spelling says counts only where the newer one is missing.
    const written = new Map<string, string>()
    for (const attribute of Object.values(attributes)) {
      const name = nameOf(attribute)
      if (name === undefined || (name !== attribute.name && name in attributes)) continue
      const value = this.#value(local, name, attribute.value, refers)
      if (value !== undefined) written.set(name, value)
    }
    this.#count.enter(attributes.id?.value, refers)
    this.#open.push(local)
    const spelled = [...written].map(([name, value]) => ` ${name}="${escaped(value)}"`)
    this.#pieces.push(`<${local}${own}${spelled.join("")}>`)
  }

  /** The value of an attribute that stays; undefined for one that goes. */
  #value(element: string, name: string, value: string, refers: string[]): string | undefined {
    if (/^on/i.test(name)) return this.#leaveOut("event handlers")
    if (name === "href") return this.#reference(element, value.trim(), refers)
    if (PLAIN_ATTRIBUTES.has(name)) return value
    if (!STYLE_ATTRIBUTES.has(name)) return undefined
    return this.#css(value, refers)
  }

  #reference(element: string, value: string, refers: string[]): string | undefined {
    if (element === "image") return isPicture(value) ? value : this.#leaveOut("references to elsewhere")
    if (!value.startsWith("#")) return this.#leaveOut("references to elsewhere")
    refers.push(value.slice(1))
    return value
  }

  /** CSS that names no file and imports nothing, with the parts of the drawing that it refers to. */
  #css(css: string, refers: string[]): string | undefined {
    const own = [...css.matchAll(/url\(\s*(["']?)#([\w.:-]+)\1\s*\)/g)]
    const functions = [...css.matchAll(/(?<![\w-])([\w-]+)\s*\(/g)].map(([, name = ""]) => name)
    const loads = functions.filter((name) => name === "url").length > own.length
    if (/[@\\]/.test(css) || loads || functions.some((name) => !FUNCTIONS.has(name)))
      return this.#leaveOut("style that could load something")
    refers.push(...own.map(([, , id = ""]) => id))
    return css
  }

  #writeStyle(): void {
    const css = this.#css(this.#style, [])
    if (css !== undefined) this.#pieces.push(escaped(css))
    this.#style = ""
  }

  #unwrap(): void {
    this.#leaveOut("links")
    this.#open.push("")
  }

  #drop({ local }: SaxesTagNS): void {
    const what = NAMED[local]
    if (what !== undefined) this.#leaveOut(what)
    this.#dropped = 1
  }

  #leaveOut(what: string): undefined {
    this.#removed.add(what)
  }
}

/** As it is written; undefined for one of another language, as editors put in. */
function nameOf({ uri, local, name }: { uri: string; local: string; name: string }): string | undefined {
  if (uri === XLINK) return local === "href" ? "href" : undefined
  return uri === "" || name.startsWith("xml:") ? name : undefined
}

/** A picture within the drawing, which is what it says it is. */
function isPicture(address: string): boolean {
  const [, type, base64 = ""] = /^data:(image\/(?:png|jpeg|webp));base64,([\w+/=\s]+)$/.exec(address) ?? []
  if (type === undefined) return false
  try {
    return rasterOf(Uint8Array.from(atob(base64), (character) => character.charCodeAt(0)))?.type === type
  } catch {
    return false
  }
}

/** In pixels, where it says so itself; else as wide and high as its own coordinates. */
function sizeOf({ attributes }: SaxesTagNS): Pick<CleanSvg, "width" | "height"> {
  const pixels = (name: string) => /^\s*([0-9.]+)(?:px)?\s*$/.exec(attributes[name]?.value ?? "")?.[1]
  const box = (attributes.viewBox?.value ?? "").trim().split(/[\s,]+/)
  const [width, height] = [pixels("width") ?? box[2], pixels("height") ?? box[3]].map((n) =>
    Math.round(Number(n)),
  )
  return width !== undefined && height !== undefined && width > 0 && height > 0 ? { width, height } : {}
}

function escaped(text: string): string {
  return text.replace(/[&<>"]/g, (character) => `&#${character.charCodeAt(0)};`)
}
