import { defineConfig } from "vitest/config"

/** By itself a machine of two cores would use one. */
const maxWorkers = 2

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
          maxWorkers,
          // The modules of the compiler and its parser are loaded once in a worker, not once for each file of tests.
          isolate: false,
          testTimeout: 30_000,
        },
      },
      {
        test: {
          name: "browser",
          include: ["test/browser/**/*.test.ts"],
          // One browser and one preview server for all files.
          globalSetup: ["test/browser/setup.ts"],
          maxWorkers,
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
})
