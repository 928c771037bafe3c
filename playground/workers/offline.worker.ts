/**
 * Makes the playground work without a network after the first visit. The build puts in the list of its files and a name
 * made of it; names of assets change with their content, so what is in the store is never out of date, and only the page
 * itself is asked for first and taken from the store where there is no answer.
 */
declare const __FILES__: readonly string[]
declare const __BUILD__: string

/** What is used here of a service worker's scope: its types do not go together with those of a page. */
interface Scope {
  readonly location: Location
  readonly clients: { claim(): Promise<void> }
  addEventListener(type: "install" | "activate", listen: (event: Extendable) => void): void
  addEventListener(type: "fetch", listen: (event: Fetch) => void): void
}
interface Extendable {
  waitUntil(work: Promise<unknown>): void
}
interface Fetch {
  readonly request: Request
  respondWith(response: Promise<Response>): void
}

const scope = self as unknown as Scope
const store = `ruleout-${__BUILD__}`
// A server may vary its answers by origin; these files are the same for everybody.
const any = { ignoreVary: true }

scope.addEventListener("install", (event) => {
  event.waitUntil(caches.open(store).then((cache) => cache.addAll(["./", ...__FILES__])))
})

scope.addEventListener("activate", (event) => {
  const clean = async () => {
    for (const name of await caches.keys())
      if (name.startsWith("ruleout-") && name !== store) await caches.delete(name)
    await scope.clients.claim()
  }
  event.waitUntil(clean())
})

scope.addEventListener("fetch", (event) => {
  const { request } = event
  if (request.method !== "GET" || new URL(request.url).origin !== scope.location.origin) return
  event.respondWith(request.mode === "navigate" ? page(request) : asset(request))
})

async function page(request: Request): Promise<Response> {
  try {
    return await fetch(request)
  } catch {
    return (await caches.match("./", any)) ?? Response.error()
  }
}

async function asset(request: Request): Promise<Response> {
  return (await caches.match(request, any)) ?? fetch(request)
}
