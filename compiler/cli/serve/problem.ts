/** What a caller did wrong, as problem details (RFC 9457). */
export interface ProblemDetails {
  readonly type: string
  readonly title: string
  readonly status: number
  readonly detail: string
  /** Index in the log that was sent, where one entry of it is to blame. */
  readonly entry?: number
}

const titles = {
  malformed: "The request can't be read",
  "no-such-address": "Nothing has that address",
  "no-such-graph": "No such graph is served",
  "no-such-picture": "No such picture is served",
  "no-such-language": "The graph isn't in that language",
  "other-graph": "The graph isn't the one that the job began with",
  expired: "The graph's signature has expired",
  "other-host": "The service isn't known by that name",
  "too-large": "The request is too large",
  "not-json": "The request isn't JSON",
  "too-many": "Too many requests",
  graph: "The graph can't be run",
  name: "That can't be done now",
  answer: "The answer can't be read",
  ended: "The job has ended",
  internal: "The service failed",
} as const

export type ProblemKind = keyof typeof titles

export class Problem extends Error {
  override readonly name = "Problem"

  constructor(
    readonly kind: ProblemKind,
    readonly status: number,
    detail: string,
    readonly entry?: number,
  ) {
    super(detail)
  }

  details(): ProblemDetails {
    const { kind, status, message, entry } = this
    return {
      type: `urn:ruleout:problem:${kind}`,
      title: titles[kind],
      status,
      detail: message,
      ...(entry === undefined ? {} : { entry }),
    }
  }
}

/** The problem of what Fastify itself refuses or what failed; undefined where the service is to blame. */
export function problemOf(error: unknown): Problem | undefined {
  if (error instanceof Problem) return error
  switch ((error as { statusCode?: number }).statusCode) {
    case 400:
      return new Problem("malformed", 400, "The body isn't JSON, or it has a key that no object may have.")
    case 413:
      return new Problem("too-large", 413, "The body is larger than this service takes.")
    case 415:
      return new Problem("not-json", 415, "Send the body as `application/json`.")
    case 429:
      return new Problem("too-many", 429, "Wait as long as `Retry-After` says.")
    default:
      return undefined
  }
}
