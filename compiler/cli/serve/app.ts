/** The service: routes, limits, logs and errors. */
import rateLimit from "@fastify/rate-limit"
import swagger from "@fastify/swagger"
import { Ajv2020 } from "ajv/dist/2020.js"
import Fastify, { type FastifyInstance, type FastifyReply, LogController } from "fastify"
import { excerpt } from "../../diagnostics/escape.ts"
import { VERSION } from "../../version.ts"
import { type Metrics, makeMetrics } from "./metrics.ts"
import { Problem, problemOf } from "./problem.ts"
import { addJobRoutes, addOtherRoutes, addPictureRoute } from "./routes.ts"
import { schemas } from "./schemas.ts"
import type { ServedGraph, ServedGraphs } from "./served-graphs.ts"

export interface ServiceOptions {
  /** Bytes. */
  readonly largestBody: number
  /** Requests a second and caller; 0 for any number. */
  readonly rate: number
  /** Proxies whose word on the caller's address is taken. */
  readonly proxies?: readonly string[]
  /** Names by which the service may be called; any where none is given. */
  readonly hosts?: readonly string[]
  readonly log: "info" | "warn" | "error" | "silent"
  readonly logTo: { write(line: string): void }
}

export interface Service {
  readonly app: FastifyInstance
  readonly metrics: Metrics
}

declare module "fastify" {
  interface FastifyRequest {
    /** Which graph answers. */
    served: ServedGraph | undefined
  }
}

const document = {
  openapi: "3.1.0",
  info: {
    title: "Ruleout",
    description:
      "The log of a job goes in, and the next step and the outlook come out. The service keeps nothing between two requests.",
    version: VERSION,
    license: { name: "MIT", identifier: "MIT" },
  },
} as const

export async function makeService(graphs: ServedGraphs, options: ServiceOptions): Promise<Service> {
  const app: FastifyInstance = Fastify({
    bodyLimit: options.largestBody,
    requestTimeout: 30_000,
    trustProxy: options.proxies === undefined ? false : [...options.proxies],
    logController: new LogController({ disableRequestLogging: true }),
    exposeHeadRoutes: false,
    logger: { level: options.log, stream: options.logTo, base: null, timestamp: isoTime },
  })
  // Of a form of a page a browser would ask nobody before it sends it from one site to another.
  app.removeContentTypeParser("text/plain")
  for (const [$id, schema] of Object.entries(schemas)) app.addSchema({ $id, ...schema })
  app.setValidatorCompiler(validator())
  // What goes out is ours: the schemas are for those who read it.
  app.setSerializerCompiler(() => JSON.stringify)
  app.decorateRequest("served", undefined)
  const metrics = makeMetrics(graphs)
  watchAnswers(app, metrics)
  if (options.hosts) refuseOtherHosts(app, options.hosts)
  answerProblems(app)
  await app.register(swagger, {
    openapi: document,
    refResolver: { buildLocalReference: ({ $id }, _base, _fragment, i) => String($id ?? `Schema${i}`) },
  })
  if (options.rate > 0) await app.register(rateLimit, { max: options.rate, timeWindow: 1000 })
  addJobRoutes(app, graphs)
  addPictureRoute(app, graphs)
  addOtherRoutes(app, graphs, metrics)
  await app.ready()
  return { app, metrics }
}

const isoTime = () => `,"time":"${new Date().toISOString()}"`

function validator() {
  const ajv = new Ajv2020({ strict: false, validateFormats: false })
  for (const [$id, schema] of Object.entries(schemas)) ajv.addSchema({ $id, ...schema })
  return ({ schema }: { schema: unknown }) => ajv.compile(schema as object)
}

/** One line of log for each answer, without what was asked: findings are nobody's business. */
function watchAnswers(app: FastifyInstance, metrics: Metrics): void {
  app.addHook("onSend", async (_request, reply) => {
    if (!reply.hasHeader("cache-control")) reply.header("cache-control", "no-store")
    reply.header("x-content-type-options", "nosniff")
  })
  app.addHook("onResponse", async (request, reply) => {
    const { method, served } = request
    const route = request.routeOptions.url ?? "none"
    const { statusCode: status, elapsedTime: ms } = reply
    metrics.answered(route, status, ms / 1000)
    request.log.info(
      { method, route, status, ms: Number(ms.toFixed(2)), ...(served ? { graph: served.digest } : {}) },
      "answered",
    )
  })
}

/** So that a page in somebody's browser can't reach the service by a name of its own that leads to this machine. */
function refuseOtherHosts(app: FastifyInstance, hosts: readonly string[]): void {
  app.addHook("onRequest", async ({ hostname }) => {
    if (!hosts.includes(hostname.toLowerCase()))
      throw new Problem("other-host", 421, "This service answers only by the names that it was started with.")
  })
}

function answerProblems(app: FastifyInstance): void {
  const send = (reply: FastifyReply, problem: Problem) =>
    reply.code(problem.status).type("application/problem+json").send(JSON.stringify(problem.details()))
  app.setNotFoundHandler((_request, reply) =>
    send(reply, new Problem("no-such-address", 404, "`/openapi.json` lists what there is.")),
  )
  app.setErrorHandler((error, request, reply) => {
    const problem = problemOf(error)
    if (problem === undefined) request.log.error({ err: error }, "failed")
    return send(reply, problem ?? new Problem("internal", 500, "Nothing is lost: send the request again."))
  })
  app.setSchemaErrorFormatter((errors) => new Problem("malformed", 400, malformed(errors)))
}

interface SchemaError {
  readonly instancePath: string
  readonly message?: string
  readonly params?: { readonly additionalProperty?: unknown }
}

/** Where the body is wrong. An entry of a log can be of several kinds, so the first error in it says little. */
function malformed([error]: readonly SchemaError[]): string {
  const { instancePath = "", message = "is wrong", params } = error ?? {}
  const entry = /^\/log\/(\d+)/.exec(instancePath)?.[1]
  if (entry !== undefined)
    return `log[${entry}] isn't an entry of a log: give \`act\` and \`found\`, or \`answer\`, \`cannot\` or \`cameBack\`.`
  if (typeof params?.additionalProperty === "string")
    return `There is no field ${excerpt(params.additionalProperty)} here.`
  return `${instancePath === "" ? "The body" : instancePath.slice(1).replaceAll("/", ".")} ${message}.`
}
