/** The graphs that are served: several rulesets, and several versions of each, side by side. */
import { excerpt } from "../../diagnostics/escape.ts"
import { inLanguage, languageFor, languagesOf } from "../../graph/in-language.ts"
import { checkGraph } from "../../run/check.ts"
import type { Graph } from "../../run/index.ts"
import { machineOf } from "../../run/machine.ts"
import { isOlder } from "../../ship/index.ts"
import { picturesIn } from "../../ship/pictures.ts"
import { Bills } from "../../ship/sheets/bill.ts"
import { contentOf, digestOf, VerifyError } from "../../ship/verify.ts"
import { displayName } from "../io/files.ts"
import { readGraph } from "../io/load-graph.ts"
import { picturesBeside } from "../io/picture-files.ts"
import type { SealPolicy } from "../io/seal-policy.ts"
import { UserError } from "../io/user-error.ts"
import { Problem } from "./problem.ts"
import { RecentSessions } from "./recent-sessions.ts"

export interface ServedGraph {
  readonly file: string
  readonly graph: Graph
  readonly sessions: RecentSessions
  readonly bills: Bills
  /** `sha256:…` of the content, as a seal has it. */
  readonly digest: string
  /** By digest. */
  readonly pictures: ReadonlyMap<string, ServedPicture>
}

export interface ServedPicture {
  readonly type: string
  readonly bytes: Uint8Array
}

/** A graph, and the same in each of its languages that somebody has asked for. */
interface Served extends ServedGraph {
  readonly shown: Map<string, ServedGraph>
}

/** What a job may say of the graph that it began with. */
export interface Pin {
  readonly version?: string
  readonly digest?: string
  /** Of the texts of the answer. */
  readonly language?: string
}

export class ServedGraphs {
  readonly #policy: SealPolicy
  /** By file, in the order of the command line. */
  readonly #served = new Map<string, Served>()

  constructor(policy: SealPolicy) {
    this.#policy = policy
  }

  /** @throws UserError where a file isn't a graph that can be run and is trusted, or two are one version of a ruleset */
  static async open(files: readonly string[], policy: SealPolicy): Promise<ServedGraphs> {
    const graphs = new ServedGraphs(policy)
    for (const file of files) await graphs.load(file)
    return graphs
  }

  get files(): readonly string[] {
    return [...this.#served.keys()]
  }

  get all(): readonly ServedGraph[] {
    return [...this.#served.values()]
  }

  /** Reads a file, again where it is served already; what was served of it stays where it can't be taken. @throws UserError */
  async load(file: string): Promise<ServedGraph> {
    const graph = await readGraph(file, this.#policy)
    const digest = await digestIn(file, graph)
    const pictures = picturesOf(file, graph)
    const served = { ...servedAs(file, graph, digest, pictures), shown: new Map<string, ServedGraph>() }
    this.#refuseTwin(served)
    this.#served.set(file, served)
    return served
  }

  #refuseTwin({ file, graph: { ruleset }, digest }: ServedGraph): void {
    const twin = this.all.find(
      (other) =>
        other.file !== file &&
        other.graph.ruleset.name === ruleset.name &&
        other.graph.ruleset.version === ruleset.version &&
        other.digest !== digest,
    )
    if (twin)
      throw new UserError(
        `${displayName(twin.file)} and ${displayName(file)} are different graphs of \`${ruleset.name}\` ${ruleset.version}.`,
        "Give the newer one a version of its own.",
      )
  }

  /** A picture of any version of a ruleset: its digest says all. @throws Problem where there is none */
  picture(name: string, digest: string): ServedPicture {
    const found = this.all
      .filter(({ graph }) => graph.ruleset.name === name)
      .flatMap(({ pictures }) => pictures.get(digest) ?? [])[0]
    if (found === undefined)
      throw new Problem(
        "no-such-picture",
        404,
        `No picture ${excerpt(digest)} of ${excerpt(name)} is served.`,
      )
    return found
  }

  /** @throws Problem where there is none, or it may not be used any more */
  find(name: string, { version, digest, language }: Pin, now: string): ServedGraph {
    const named = [...this.#served.values()].filter(({ graph }) => graph.ruleset.name === name)
    if (named.length === 0) throw new Problem("no-such-graph", 404, `No graph of \`${name}\` is served.`)
    const some =
      version === undefined ? named : named.filter((each) => each.graph.ruleset.version === version)
    if (some.length === 0)
      throw new Problem("no-such-graph", 404, `Version ${version} of \`${name}\` isn't served.`)
    const fitting = digest === undefined ? some : some.filter((each) => each.digest === digest)
    const [first, ...others] = fitting
    if (first === undefined)
      throw new Problem(
        "other-graph",
        409,
        `The graph ${digest} of \`${name}\` isn't served any more. Without \`digest\` the job goes on with the one that is.`,
      )
    const served = others.reduce((newest, each) => (isNewer(each, newest) ? each : newest), first)
    this.#refuseExpired(served, now)
    return language === undefined ? served : shownIn(served, language)
  }

  /** A signature may expire while the service runs. */
  #refuseExpired({ graph: { ruleset, seal } }: ServedGraph, now: string): void {
    const expires = seal?.expires
    if (this.#policy.key === undefined || expires === undefined || Date.parse(now) < Date.parse(expires))
      return
    throw new Problem("expired", 410, `The signature of \`${ruleset.name}\` expired at ${expires}.`)
  }
}

/** Read when the graph is: a job doesn't stop at a picture that is gone. @throws UserError where one is missing */
function picturesOf(file: string, graph: Graph): ReadonlyMap<string, ServedPicture> {
  const { bytesOf } = picturesBeside(file)
  return new Map(picturesIn(graph).map((each) => [each.digest, { type: each.type, bytes: bytesOf(each) }]))
}

function servedAs(
  file: string,
  graph: Graph,
  digest: string,
  pictures: ServedGraph["pictures"],
): ServedGraph {
  const sessions = new RecentSessions(machineOf(checkGraph(graph)))
  return { file, graph, sessions, bills: new Bills(graph), digest, pictures }
}

/** @throws Problem where the graph isn't in that language */
function shownIn({ file, graph, digest, pictures, shown }: Served, wanted: string): ServedGraph {
  const language = languageFor(graph, [wanted])
  if (language === undefined)
    throw new Problem(
      "no-such-language",
      404,
      `\`${graph.ruleset.name}\` is in ${languagesOf(graph).join(", ")}, not in ${wanted}.`,
    )
  const made = shown.get(language) ?? servedAs(file, inLanguage(graph, language), digest, pictures)
  shown.set(language, made)
  return made
}

async function digestIn(file: string, graph: Graph): Promise<string> {
  try {
    return await digestOf(contentOf(graph), crypto.subtle)
  } catch (error) {
    throw error instanceof VerifyError ? new UserError(`${displayName(file)}: ${error.message}`) : error
  }
}

/** Versions that can't be compared: the one that was named last. */
function isNewer(a: ServedGraph, than: ServedGraph): boolean {
  return isOlder(than.graph.ruleset.version, a.graph.ruleset.version) ?? true
}
