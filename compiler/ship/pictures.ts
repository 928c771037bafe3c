import type { Pictured } from "../model/model.ts"
import type { Graph, GraphAction, GraphNode, GraphPicture, GraphPictureUse } from "../run/graph.ts"
import type { PlaceIndex } from "../run/indexes.ts"
import { at } from "../run/lookup.ts"
import { testsThatCaution } from "../run/work.ts"
import { ShipError } from "./ship-error.ts"

/** A picture at a step. */
export interface ShownPicture {
  readonly picture: GraphPicture
  /** What it shows, for whoever can't see it. */
  readonly text: string
  /** The caution that it belongs to. */
  readonly caution?: string
}

/** Gives the bytes of a picture of a graph. */
export type PictureBytes = (picture: GraphPicture) => Uint8Array

/** The folder beside a graph in which its pictures are. */
export const PICTURE_FOLDER = "pictures"

const ENDINGS: Readonly<Record<GraphPicture["type"], string>> = {
  "image/png": "png",
  "image/jpeg": "jpg",
  "image/webp": "webp",
  "image/svg+xml": "svg",
}

/**
 * The path of a picture's file, as seen from the graph: its name is its digest, so that equal pictures are one file.
 *
 * @throws ShipError where the graph names no digest or type that there is: it could name any file
 */
export function picturePath({ digest, type }: GraphPicture): string {
  const hex = /^sha256:([0-9a-f]{64})$/.exec(digest)?.[1]
  if (hex === undefined || !Object.hasOwn(ENDINGS, type))
    throw new ShipError("The graph has a picture without a digest or a type: compile the ruleset again.")
  return `${PICTURE_FOLDER}/${hex}.${ENDINGS[type]}`
}

/** All pictures of a graph. */
export function picturesIn({ pictures }: Graph): readonly GraphPicture[] {
  return pictures ?? []
}

/** A picture as an address that holds it whole (RFC 2397), by its digest, of all pictures of a graph. */
export function pictureAddresses(graph: Graph, bytesOf: PictureBytes): Record<string, string> {
  return Object.fromEntries(
    picturesIn(graph).map((picture) => {
      picturePath(picture)
      return [picture.digest, `data:${picture.type};base64,${base64(bytesOf(picture))}`]
    }),
  )
}

/** In pieces: a call takes only so many arguments. */
function base64(bytes: Uint8Array): string {
  const pieces: string[] = []
  for (let start = 0; start < bytes.length; start += 0x8000)
    pieces.push(String.fromCharCode(...bytes.subarray(start, start + 0x8000)))
  return btoa(pieces.join(""))
}

/** The pictures at a step: its own, those of what is read, worked on or fixed, and those of its cautions. */
export function picturesOf(graph: Graph, node: GraphNode | GraphAction): readonly ShownPicture[] {
  if (!graph.pictures) return []
  const shown = [...declaredAt(graph, node).flatMap((each) => own(graph, each)), ...ofCautions(graph, node)]
  const key = ({ picture, text, caution }: ShownPicture) => JSON.stringify([picture.digest, text, caution])
  return [...new Map(shown.map((each) => [key(each), each])).values()]
}

/** What is declared that the step is about. */
function declaredAt(graph: Graph, node: GraphNode | GraphAction): readonly Pictured[] {
  const { tests, readings, places, faults, model } = graph
  const place = (index: PlaceIndex) => at(places, index)
  switch (node.do) {
    case "test": {
      const { reads = [], parts = [], redoes = [] } = at(model.tests, node.test)
      const worked = [...parts, ...redoes.map(([setup]) => setup)]
      return [at(tests, node.test), ...reads.map((reading) => at(readings, reading)), ...worked.map(place)]
    }
    case "fix":
      return [at(faults, node.fault), place(at(faults, node.fault).place)]
    case "replace":
      return [place(node.part), ...faults.filter((fault) => fault.place === node.part)]
    case "takeOut":
    case "putBack":
      return [place(node.part)]
    default:
      return []
  }
}

function own(graph: Graph, { pictures = [] }: Pictured): ShownPicture[] {
  return pictures.flatMap((use) => (use.caution === undefined ? shown(graph, use) : []))
}

function ofCautions(graph: Graph, node: GraphNode | GraphAction): ShownPicture[] {
  return testsThatCaution(graph, node).flatMap(({ cautions, pictures = [] }) =>
    pictures.flatMap((use) => {
      const caution = use.caution === undefined ? undefined : cautions[use.caution]
      return caution === undefined ? [] : shown(graph, use).map((each) => ({ ...each, caution }))
    }),
  )
}

/** A graph from elsewhere may name one that it doesn't have. */
function shown({ pictures }: Graph, { picture: index, text }: GraphPictureUse): ShownPicture[] {
  const picture = pictures?.[index]
  return picture ? [{ picture, text }] : []
}
