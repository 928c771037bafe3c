import { Validator } from "@seriousme/openapi-schema-validator"
import { Ajv2020 } from "ajv/dist/2020.js"
import fc from "fast-check"
import { afterAll, describe, expect, test } from "vitest"
import type { SealPolicy } from "../../../compiler/cli/io/seal-policy.ts"
import { makeService, type Service, type ServiceOptions } from "../../../compiler/cli/serve/app.ts"
import type { JobAnswer } from "../../../compiler/cli/serve/job.ts"
import { Problem } from "../../../compiler/cli/serve/problem.ts"
import { ServedGraphs } from "../../../compiler/cli/serve/served-graphs.ts"
import { compile, graphText } from "../../../compiler/compile.ts"
import { type Answer, type Entry, open, type Session } from "../../../compiler/run/index.ts"
import { seal } from "../../../compiler/ship/index.ts"
import { FAN } from "../fan.ts"
import { openFolder, said } from "../run.ts"

const { at, read, put } = openFolder()

const compiled = (text: string) => compile("a.ruleout", () => text, { effort: 500 }).graph!
const fan = (version: string, odds = 1) =>
  compiled(FAN.replace("\n", `\n  version "${version}"\n`).replace("odds 1", `odds ${odds}`))
const seat = compiled(read("seat.ruleout"))
put("seat.graph.json", graphText(seat))
put("fan-1.graph.json", graphText(fan("1.2.0")))
put("fan-10.graph.json", graphText(fan("1.10.0", 2)))

const services: Service[] = []
afterAll(() => Promise.all(services.map(({ app }) => app.close())))

async function serving(
  files: readonly string[],
  options: Partial<ServiceOptions> = {},
  policy: SealPolicy = {},
) {
  const graphs = await ServedGraphs.open(files.map(at), policy)
  const logs: string[] = []
  const logTo = { write: (line: string) => logs.push(line) }
  const service = await makeService(graphs, { largestBody: 65_536, rate: 0, log: "info", logTo, ...options })
  services.push(service)
  const post = async (url: string, payload: object) => {
    const response = await service.app.inject({ method: "POST", url, payload })
    return { status: response.statusCode, body: response.json() }
  }
  const get = (url: string, host = "localhost") => service.app.inject({ url, headers: { host } })
  return { ...service, graphs, logs, post, get }
}

/** For tests that change nothing of it. */
const seats = await serving(["seat.graph.json"])

const NEXT = "/graphs/seat_or_board/next"

/** The answers of a job that is led to its end, with what the runner itself says of it. */
const job: readonly Answer[] = ["gone", "stays", "gone", "holds"]

const asJson = (value: unknown) => JSON.parse(JSON.stringify(value))

function expectSame({ log, step, outlook, suspects, standing }: JobAnswer, session: Session): void {
  expect({ log, step, outlook, suspects, standing }).toEqual(
    asJson({
      log: session.log,
      step: session.next,
      outlook: session.outlook,
      suspects: session.candidates,
      standing: session.standing,
    }),
  )
}

test("a request says which language its answer is in", async () => {
  const [text] = seat.tests.map(({ instruction }) => instruction)
  put(
    "german.graph.json",
    graphText({ ...seat, languages: [{ language: "de", tests: [{ instruction: "Prüfen" }] }] } as never),
  )
  const { post } = await serving(["german.graph.json"])
  const asked = async (language?: string) => post(NEXT, { language, log: [] })
  const [own, german] = [await asked(), await asked("de-CH")]
  expect([own, german].map(({ body }) => body.step.info.instruction)).toEqual([text, "Prüfen"])
  expect({ ...german.body, step: own.body.step }).toEqual(own.body)
  expect(await asked("fr")).toMatchObject({
    status: 404,
    body: {
      type: "urn:ruleout:problem:no-such-language",
      detail: "`seat_or_board` is in en, de, not in fr.",
    },
  })
})

describe("a job over HTTP", () => {
  test("is the runner's, step by step, ends with its record, and each answer says which graph gave it", async () => {
    const { post, graphs } = seats
    const { digest } = graphs.all[0]!
    let session = open(seat)
    let log: readonly Entry[] = []
    for (const answer of job) {
      session = session.answer(answer, { minutes: 3 })
      const { status, body } = await post(NEXT, { digest, log: [...log, { answer, minutes: 3 }] })
      expect(status).toBe(200)
      expectSame(body, session)
      expect(body.graph).toEqual({
        name: "seat_or_board",
        version: seat.ruleset.version,
        title: "Lamp driver: dead",
        digest,
        money: "EUR",
      })
      log = body.log
      // A step is worked out once for all jobs with these findings; what goes on record stays each job's own.
      const longer = log.map((entry) => ({ ...entry, minutes: 8 }))
      const { body: other } = await post(NEXT, { log: longer })
      expect(other).toEqual({ ...body, log: longer })
    }
    const closing = { id: "L-7", date: "2026-03-09", faults: ["board_dead"], cameBack: false }
    const { body } = await post("/graphs/seat_or_board/record", { log, ...closing })
    expect(body).toMatchObject({ ended: true, record: asJson(session.record(closing)) })
    expect(body.graph.digest).toBe(digest)
  })

  test("takes back, goes on after a machine came back, and takes what can't be done", async () => {
    const { post } = seats
    const answers = job.map((answer) => ({ answer }))
    const whole = job.reduce<Session>((so, answer) => so.answer(answer), open(seat))
    expectSame((await post(NEXT, { log: answers, undo: 1 })).body, whole.undo(1))
    expectSame((await post(NEXT, { log: [...answers, { cameBack: true }] })).body, whole.cameBack())
    const cannot = { cannot: { test: "try_board" } }
    expectSame((await post(NEXT, { log: [cannot] })).body, open(seat).cannot("try_board"))
    expectSame(
      (await post(NEXT, { log: [{ act: { test: "try_board" }, found: "gone" }] })).body,
      open(seat).find({ test: "try_board" }, "gone"),
    )
  })

  test.each([
    ["an answer that can't be read", { log: [{ answer: "gone" }, { answer: "perhaps" }] }, 422, "answer", 1],
    ["a name", { log: [{ act: { test: "try_bord" }, found: "gone" }] }, 422, "name", 0],
    ["more after the end", { log: [...job, "gone"].map((answer) => ({ answer })) }, 422, "ended", 4],
    ["a step that isn't there", { undo: 2 }, 422, "name", 2],
    ["a version that isn't served", { version: "9.0.0" }, 404, "no-such-graph", undefined],
    ["another digest", { digest: `sha256:${"0".repeat(64)}` }, 409, "other-graph", undefined],
    ["half an entry", { log: [{ answer: "gone" }, { found: "gone" }] }, 400, "malformed", undefined],
    ["no list", { log: "gone" }, 400, "malformed", undefined],
    ["a field of another name", { logs: [] }, 400, "malformed", undefined],
    ["too long a log", { log: Array(251).fill({ answer: "gone" }) }, 400, "malformed", undefined],
  ])("%s is refused, in words", async (_, payload, status, kind, entry) => {
    const { post } = seats
    const refused = await post(NEXT, payload)
    expect(refused).toMatchObject({ status, body: { type: `urn:ruleout:problem:${kind}`, status } })
    expect(refused.body.entry).toBe(entry)
    expect(refused.body.detail).toMatch(/^[`\w].{10,}\.$/)
  })

  test("what isn't JSON, is too large or has no address is refused too", async () => {
    const { app, post, get } = seats
    const sent = (payload: string, type: string) =>
      app.inject({ method: "POST", url: NEXT, payload, headers: { "content-type": type } })
    expect((await sent("{", "application/json")).json()).toMatchObject({ status: 400 })
    expect((await sent('{"__proto__":{"log":[]}}', "application/json")).json()).toMatchObject({ status: 400 })
    expect((await sent("{}", "text/plain")).json()).toMatchObject({ status: 415 })
    expect((await app.inject({ method: "POST", url: NEXT })).json()).toMatchObject({ status: 400 })
    expect((await post(NEXT, { log: [{ answer: "x".repeat(70_000) }] })).body).toMatchObject({ status: 413 })
    expect((await post("/graphs/toaster/next", {})).body).toMatchObject({ status: 404 })
    expect((await get("/nowhere")).json()).toMatchObject({ status: 404 })
  })
})

/** Anything that JSON can say, and logs of entries that could be meant. */
const word = fc.constantFrom(
  "gone",
  "stays",
  "holds",
  "done",
  "try_board",
  "board",
  "seat_loose",
  "__proto__",
)
const act = fc
  .tuple(
    fc.constantFrom("test", "putBack", "keep", "replace", "fix", "takeOut", "reading", "look", "close"),
    word,
  )
  .map(([kind, name]) => ({ [kind]: kind === "look" || kind === "close" ? true : name }))
const entry = fc.oneof(
  word.map((answer) => ({ answer })),
  fc.record({ act, found: word }),
  act.map((cannot) => ({ cannot })),
  fc.constant({ cameBack: true }),
)
const body = fc.oneof(
  fc.jsonValue(),
  fc.record({ log: fc.array(entry, { maxLength: 6 }), undo: fc.nat(5) }, { requiredKeys: ["log"] }),
  fc.record({ log: fc.array(fc.jsonValue()), digest: fc.string(), version: fc.string() }),
)

test("whatever is sent, the answer is a step or a problem in words, never a failure of the service", async () => {
  const { app } = seats
  await fc.assert(
    fc.asyncProperty(body, async (sent) => {
      const payload = JSON.stringify(sent)
      const headers = { "content-type": "application/json" }
      const { statusCode, body } = await app.inject({ method: "POST", url: NEXT, payload, headers })
      expect([200, 400, 404, 409, 422]).toContain(statusCode)
      expect(Object.keys(JSON.parse(body))).toContain(statusCode === 200 ? "step" : "detail")
    }),
    { numRuns: 400 },
  )
})

describe("several graphs", () => {
  test("stand side by side; the newest version answers, unless a job names another", async () => {
    const { post, get } = await serving(["fan-10.graph.json", "fan-1.graph.json", "seat.graph.json"])
    const listed = (await get("/graphs")).json().graphs
    expect(listed.map(({ name, version }: never) => [name, version])).toEqual([
      ["fan", "1.10.0"],
      ["fan", "1.2.0"],
      ["seat_or_board", seat.ruleset.version],
    ])
    expect((await post("/graphs/fan/next", {})).body.graph).toEqual(listed[0])
    expect((await post("/graphs/fan/next", { version: "1.2.0" })).body.graph).toEqual(listed[1])
    expect((await post("/graphs/fan/next", { digest: listed[1].digest })).body.graph).toEqual(listed[1])
  })

  test("two graphs of one version, and a ruleset, are refused", async () => {
    put("other.graph.json", graphText(fan("1.2.0", 7)))
    await expect(ServedGraphs.open(["fan-1.graph.json", "other.graph.json"].map(at), {})).rejects.toThrow(
      "are different graphs of `fan` 1.2.0.",
    )
    expect(await said(["serve", "seat.ruleout"])).toMatchObject({
      exit: 2,
      err: expect.stringContaining("`seat.ruleout` isn't a compiled graph."),
    })
  })

  test("a file that changed is read anew; what can't be taken leaves the one of before", async () => {
    put("changing.graph.json", graphText(fan("1.0.0")))
    const { graphs, post } = await serving(["changing.graph.json"])
    const { digest } = graphs.all[0]!
    put("changing.graph.json", "{")
    await expect(graphs.load(at("changing.graph.json"))).rejects.toThrow("isn't JSON")
    expect((await post("/graphs/fan/next", { digest })).status).toBe(200)
    put("changing.graph.json", graphText(fan("2.0.0")))
    await graphs.load(at("changing.graph.json"))
    expect((await post("/graphs/fan/next", {})).body.graph.version).toBe("2.0.0")
    expect((await post("/graphs/fan/next", { digest })).status).toBe(409)
  })
})

describe("sealed graphs", async () => {
  const { privateKey, publicKey } = (await crypto.subtle.generateKey("Ed25519", true, [
    "sign",
    "verify",
  ])) as CryptoKeyPair
  const pem = async (key: CryptoKey, format: "pkcs8" | "spki", label: string) => {
    const bytes = Buffer.from(await crypto.subtle.exportKey(format, key)).toString("base64")
    return `-----BEGIN ${label}-----\n${bytes}\n-----END ${label}-----\n`
  }
  const times = { at: "2026-01-01T00:00:00Z", expires: "2999-01-01T00:00:00Z" }
  const key = await pem(privateKey, "pkcs8", "PRIVATE KEY")
  const sealed = await seal(seat, { subtle: crypto.subtle, key, ...times })
  put("shop.pub", await pem(publicKey, "spki", "PUBLIC KEY"))
  put("sealed.graph.json", graphText(sealed))
  put("changed.graph.json", graphText({ ...sealed, comeback: 1 }))

  test.each([
    ["changed.graph.json"],
    ["seat.graph.json", "--key", "shop.pub"],
    ["sealed.graph.json", "--key", "shop.pub", "--purpose", "trial"],
    ["sealed.graph.json", "--key", "shop.pub", "--at-least", "99.0.0"],
  ])("%s %s %s is refused as bench refuses it", async (...args) => {
    const refused = await said(["serve", ...args])
    expect(refused).toEqual(await said(["bench", ...args]))
    expect(refused.exit).toBe(2)
  })

  test("one that is signed is served, until its signature expires", async () => {
    const { graphs } = await serving(["sealed.graph.json"], {}, { key: at("shop.pub") })
    const { digest } = graphs.find("seat_or_board", {}, "2998-12-31T23:59:59.500Z")
    expect(digest).toBe(sealed.seal!.digest)
    const expired = () => graphs.find("seat_or_board", {}, "2999-01-01T00:00:00.000Z")
    expect(expired).toThrow(Problem)
    expect(expired).toThrow("expired at 2999-01-01T00:00:00Z")
  })
})

test("a sheet of paper is a page with what the job has found", async () => {
  const url = "/graphs/seat_or_board/sheet"
  const asked = { kind: "handover", log: [{ answer: "gone" }], id: "K-7", paper: "letter" }
  const { statusCode, headers, body } = await seats.app.inject({ method: "POST", url, payload: asked })
  expect({ statusCode, type: headers["content-type"] }).toEqual({
    statusCode: 200,
    type: "text/html; charset=utf-8",
  })
  expect(body).toContain("<h1>Handover</h1>")
  expect(body).toContain("<b>K-7</b>")
  expect(body).toContain("@page { size: letter")
  expect(body).toContain("complaint gone")
  const owner = () => seats.app.inject({ method: "POST", url, payload: { ...asked, kind: "owner" } })
  expect((await owner()).body).toContain("What each way on would cost")
  expect((await owner()).body).toBe((await owner()).body)
  expect((await seats.post(url, { ...asked, kind: "bill" })).status).toBe(400)
  expect((await seats.post(url, { ...asked, log: [{ answer: "blue" }] })).status).toBe(422)
})

describe("the OpenAPI document", () => {
  test("is valid 3.1 by somebody else's validator, and has every address", async () => {
    const { get } = seats
    const document = (await get("/openapi.json")).json()
    const { valid, errors } = await new Validator().validate(structuredClone(document))
    expect({ valid, errors }).toEqual({ valid: true, errors: undefined })
    expect(document.openapi).toBe("3.1.0")
    expect(Object.keys(document.paths).sort()).toEqual([
      "/graphs",
      "/graphs/{name}/next",
      "/graphs/{name}/pictures/{digest}",
      "/graphs/{name}/record",
      "/graphs/{name}/sheet",
      "/health",
      "/metrics",
    ])
    const broken = structuredClone(document)
    delete broken.info.title
    expect((await new Validator().validate(broken)).valid).toBe(false)
  })

  test("says all that an answer has", async () => {
    const { get, post } = await serving(["seat.graph.json", "fan-1.graph.json"])
    const { components, paths } = (await get("/openapi.json")).json()
    const ajv = new Ajv2020({ strict: false, validateFormats: false }).addSchema({ $id: "api", components })
    const expectBy = (path: string, method: string, status: number, body: unknown) => {
      const [content] = Object.values(paths[path][method].responses[status].content) as [
        { schema: { $ref: string } },
      ]
      const valid = ajv.getSchema(`api${content.schema.$ref}`)!
      expect(valid(body), `${path} ${status}: ${JSON.stringify(valid.errors)}`).toBe(true)
    }
    const [path, record] = ["/graphs/{name}/next", "/graphs/{name}/record"]
    for (const log of [
      ...[0, 1, 2, 3, 4].map((n) => job.slice(0, n).map((answer) => ({ answer }))),
      [{ cannot: { test: "try_board" } }],
    ])
      expectBy(path, "post", 200, (await post(NEXT, { log })).body)
    const lamp = { act: { reading: "lamp" }, found: "no" }
    for (const log of [[], [lamp], [lamp, { act: { handOver: true }, found: "done" }]])
      expectBy(path, "post", 200, (await post("/graphs/fan/next", { log })).body)
    expectBy(path, "post", 422, (await post(NEXT, { undo: 3 })).body)
    expectBy(record, "post", 200, (await post("/graphs/fan/record", { log: [lamp], id: "F-1" })).body)
    for (const address of ["/graphs", "/health"]) expectBy(address, "get", 200, (await get(address)).json())
    expect(() => expectBy("/graphs", "get", 200, { graphs: [{ name: 3 }] })).toThrow()
  })
})

describe("whoever runs it", () => {
  test("limits callers, but not those who ask for its health", async () => {
    const { get } = await serving(["seat.graph.json"], { rate: 3 })
    const statuses = []
    for (let i = 0; i < 4; i++) statuses.push((await get("/graphs")).statusCode)
    expect(statuses).toEqual([200, 200, 200, 429])
    expect((await get("/graphs")).headers["retry-after"]).toBe("1")
    expect((await get("/health")).json()).toEqual({ status: "ok", graphs: 1 })
  })

  test.each([
    ["--port", "70000"],
    ["--proxy", "elsewhere"],
    ["--proxy", "10.0.0.0/33"],
    ["--rate", "-1"],
    ["--host", "256.0.0.1"],
  ])("%s %s is refused before anything is served", async (...flags) => {
    const refused = await said(["serve", "seat.graph.json", ...flags])
    expect(refused.exit).toBe(2)
    expect(refused.err).not.toContain("Internal error")
  })

  test("decides by which names it is called", async () => {
    const { get } = await serving(["seat.graph.json"], { hosts: ["localhost"] })
    expect((await get("/graphs", "localhost:4040")).statusCode).toBe(200)
    expect((await get("/graphs", "elsewhere.example")).json()).toMatchObject({ status: 421 })
  })

  test("reads counts and times as Prometheus does, by route", async () => {
    const { get, post, metrics } = await serving(["seat.graph.json"])
    await post(NEXT, {})
    await post(NEXT, { undo: 1 })
    await get("/nowhere/1")
    metrics.reloaded(false)
    const { body, headers } = await get("/metrics")
    expect(headers["content-type"]).toContain("text/plain; version=0.0.4")
    for (const line of [
      'ruleout_requests_total{route="/graphs/:name/next",status="200"} 1',
      'ruleout_requests_total{route="/graphs/:name/next",status="422"} 1',
      'ruleout_requests_total{route="none",status="404"} 1',
      'ruleout_request_seconds_count{route="/graphs/:name/next"} 2',
      'ruleout_reloads_total{result="refused"} 1',
    ])
      expect(body).toContain(`${line}\n`)
    expect(body).toMatch(
      /ruleout_graph_info\{name="seat_or_board",version="[^"]+",digest="sha256:[0-9a-f]{64}"\} 1/,
    )
  })

  test("has a line of JSON for each answer, without what was found", async () => {
    const { post, logs, graphs } = await serving(["seat.graph.json"])
    await post(NEXT, { log: [{ answer: "gone" }] })
    expect(logs).toHaveLength(1)
    expect(JSON.parse(logs[0]!)).toMatchObject({
      level: 30,
      method: "POST",
      route: "/graphs/:name/next",
      status: 200,
      graph: graphs.all[0]!.digest,
    })
    expect(logs[0]).not.toContain("gone")
  })
})
