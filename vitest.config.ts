import { existsSync } from "node:fs"
import { join } from "node:path"
import { defineConfig } from "vitest/config"

const browserSetup = join(import.meta.dirname, "test/browser/setup.ts")

export default defineConfig({
  root: import.meta.dirname,
  test: {
    projects: [
      {
        test: {
          name: "core",
          include: ["test/**/*.test.ts"],
          exclude: ["test/browser/**"],
          globalSetup: ["test/support/build.ts"],
          testTimeout: 30_000,
        },
      },
      {
        test: {
          name: "browser",
          include: ["test/browser/**/*.test.ts"],
          // One browser and one preview server for all files; two pages at once would only wait for each other.
          globalSetup: existsSync(browserSetup) ? [browserSetup] : [],
          fileParallelism: false,
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
})
