import { join } from "node:path"
import { chromium as engine } from "playwright-core"
import { build, preview } from "vite"
import type { TestProject } from "vitest/node"
import { chromium, chromiumFlags } from "../support/chromium.ts"

declare module "vitest" {
  export interface ProvidedContext {
    /** Address of the built playground, on this machine only. */
    playground: string
    /** Where a test connects to the one browser of all tests. */
    browser: string
  }
}

const configFile = join(import.meta.dirname, "../../vite.config.ts")

/** Builds the playground as it ships, serves it on the loopback, and starts one browser for all files of tests. */
export default async function setup({ provide }: TestProject): Promise<() => Promise<void>> {
  // The runner of the tests names its own mode, in which a build would leave out what only ships.
  const mode = process.env.NODE_ENV
  process.env.NODE_ENV = "production"
  await build({ configFile, logLevel: "error" })
  process.env.NODE_ENV = mode
  const server = await preview({ configFile, logLevel: "error", preview: { host: "127.0.0.1", port: 0 } })
  const browser = await engine.launchServer({ executablePath: chromium(), args: chromiumFlags })
  provide("playground", server.resolvedUrls!.local[0]!)
  provide("browser", browser.wsEndpoint())
  return async () => {
    await browser.close()
    await server.close()
  }
}
