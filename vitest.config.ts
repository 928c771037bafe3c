import { defineConfig } from "vitest/config"

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
          // By itself a machine of two cores would use one.
          maxWorkers: 2,
          testTimeout: 30_000,
        },
      },
      {
        test: {
          name: "browser",
          include: ["test/browser/**/*.test.ts"],
          // One browser and one preview server for all files; two pages at once would only wait for each other.
          globalSetup: ["test/browser/setup.ts"],
          fileParallelism: false,
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
})
