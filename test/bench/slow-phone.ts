import { readFileSync } from "node:fs"
import { createServer } from "node:http"
import { extname, join } from "node:path"
import { gzipSync } from "node:zlib"
import type { Browser } from "playwright-core"

const types: Readonly<Record<string, string>> = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
}

/** 1.6 Mbit/s with 150 ms there and back, and a processor four times slower than this one. */
const network = { offline: false, latency: 150, downloadThroughput: 200_000, uploadThroughput: 94_000 }
const processor = { rate: 4 }

/** Milliseconds from asking for an address to what is waited for, on a slow phone; the median of five first visits. */
export async function onSlowPhone(
  browser: Browser,
  folder: string,
  hash: string,
  ready: string,
): Promise<number> {
  const server = createServer(({ url = "/" }, answer) => {
    const path = new URL(url, "http://x").pathname
    const name = join(folder, path === "/" ? "index.html" : path)
    answer.setHeader("content-type", types[extname(name)] ?? "application/octet-stream")
    answer.setHeader("content-encoding", "gzip")
    answer.end(gzipSync(readFileSync(name)))
  })
  const port = await new Promise<number>((listens) => {
    server.listen(0, "127.0.0.1", () => listens((server.address() as { port: number }).port))
  })
  const took: number[] = []
  for (let i = 0; i < 5; i++) {
    const context = await browser.newContext({
      viewport: { width: 360, height: 740 },
      serviceWorkers: "block",
    })
    const page = await context.newPage()
    const phone = await context.newCDPSession(page)
    await phone.send("Network.enable")
    await phone.send("Network.emulateNetworkConditions", network)
    await phone.send("Emulation.setCPUThrottlingRate", processor)
    const start = performance.now()
    await page.goto(`http://127.0.0.1:${port}/${hash}`, { waitUntil: "commit" })
    await page.locator(ready).first().waitFor()
    took.push(performance.now() - start)
    await context.close()
  }
  server.close()
  return took.sort((a, b) => a - b)[2]!
}
