import type { FastifyInstance, FastifyRequest } from "fastify"
import {
  graphName,
  type JobRequest,
  jobAnswer,
  type RecordRequest,
  recordAnswer,
  type SheetRequest,
  sheetAnswer,
} from "./job.ts"
import type { Metrics } from "./metrics.ts"
import type { Pin, ServedGraph, ServedGraphs } from "./served-graphs.ts"

const ref = (id: string) => ({ $ref: `${id}#` })
const answers = (description: string, id: string) => ({
  200: { description, content: { "application/json": { schema: ref(id) } } },
})
const problems = (...statuses: readonly number[]) =>
  Object.fromEntries(
    statuses.map((status) => [
      status,
      { description: "A problem", content: { "application/problem+json": { schema: ref("Problem") } } },
    ]),
  )

/** What can be asked about a job: each takes a document, and finds its graph by the name in the path. */
const JOB_ROUTES = [
  {
    operationId: "next",
    summary: "The next step of a job",
    description:
      "An empty log begins a job. To go on, send the log of the answer with a new entry at its end.",
    body: "JobRequest",
    response: answers("What to do now", "JobAnswer"),
    answer: (graph: ServedGraph, body: unknown) => jobAnswer(graph, body as JobRequest),
  },
  {
    operationId: "record",
    summary: "A job as a recorded case",
    description:
      "When the job has ended: one line for the file of cases that `ruleout replay` and `ruleout fit` read.",
    body: "RecordRequest",
    response: answers("The case", "RecordAnswer"),
    answer: (graph: ServedGraph, body: unknown) => recordAnswer(graph, body as RecordRequest),
  },
  {
    operationId: "sheet",
    summary: "A sheet of paper for a job",
    description: "For the intake, the bench, the next technician or the owner: a page to print.",
    body: "SheetRequest",
    response: { 200: { description: "The page", content: { "text/html": { schema: { type: "string" } } } } },
    answer: (graph: ServedGraph, body: unknown) => sheetAnswer(graph, body as SheetRequest),
  },
] as const

export function addJobRoutes(app: FastifyInstance, graphs: ServedGraphs): void {
  const params = {
    type: "object",
    properties: { name: { type: "string", description: "Of the ruleset." } },
    required: ["name"],
  }
  const refusals = problems(400, 404, 409, 410, 413, 415, 422, 429)
  const served = (request: FastifyRequest): ServedGraph => {
    const { name } = request.params as { name: string }
    request.served = graphs.find(name, request.body as Pin, new Date().toISOString())
    return request.served
  }
  for (const { answer, body, response, ...about } of JOB_ROUTES) {
    const schema = { ...about, params, body: ref(body), response: { ...response, ...refusals } }
    app.post(`/graphs/:name/${about.operationId}`, { schema }, async (request, reply) => {
      const answered = answer(served(request), request.body)
      if (typeof answered === "string") reply.type("text/html; charset=utf-8")
      return answered
    })
  }
}

/** What a picture may do where it is opened by itself. */
const PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"

export function addPictureRoute(app: FastifyInstance, graphs: ServedGraphs): void {
  const text = { type: "string" }
  const params = { type: "object", properties: { name: text, digest: text }, required: ["name", "digest"] }
  const content = { "image/*": { schema: { type: "string", format: "binary" } } }
  const schema = {
    operationId: "picture",
    summary: "A picture of a ruleset, by its digest",
    params,
    response: { 200: { description: "The picture", content }, ...problems(404, 429) },
  }
  app.get("/graphs/:name/pictures/:digest", { schema }, async (request, reply) => {
    const { name, digest } = request.params as { name: string; digest: string }
    const { type, bytes } = graphs.picture(name, digest)
    reply.headers({
      "cache-control": "private, max-age=31536000, immutable",
      "content-security-policy": PICTURE_POLICY,
    })
    return reply.type(type).send(Buffer.from(bytes))
  })
}

export function addOtherRoutes(app: FastifyInstance, graphs: ServedGraphs, metrics: Metrics): void {
  const unlimited = { rateLimit: false }
  app.get(
    "/graphs",
    {
      schema: {
        operationId: "graphs",
        summary: "The graphs that are served",
        response: { ...answers("All of them", "Graphs"), ...problems(429) },
      },
    },
    async () => ({ graphs: graphs.all.map(graphName) }),
  )
  app.get(
    "/health",
    {
      config: unlimited,
      schema: {
        operationId: "health",
        summary: "Whether the service answers",
        response: { ...answers("It does", "Health"), ...problems(503) },
      },
    },
    async () => ({ status: "ok", graphs: graphs.all.length }),
  )
  app.get(
    "/metrics",
    {
      config: unlimited,
      schema: {
        operationId: "metrics",
        summary: "Counts and times, as Prometheus reads them",
        response: {
          200: { description: "Text", content: { "text/plain": { schema: { type: "string" } } } },
        },
      },
    },
    async (_request, reply) => reply.type(metrics.contentType).send(await metrics.text()),
  )
  app.get("/openapi.json", { schema: { hide: true } }, async () => app.swagger())
}
