import { defineConfig } from "vitest/config"
import { BaseSequencer, type TestSpecification } from "vitest/node"

/** By itself a machine of two cores would use one. */
const maxWorkers = 2

/** Files that take more than 10 s, the longest first. */
const longest = ["rulesets", "check/codes", "check/sequences", "plan/shipped", "cli/io/inputs", "plan/exact"]

/** Begins with the longest files: one that began last would run alone, with the other core idle. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification) => {
      const at = longest.findIndex((name) => moduleId.endsWith(`test/${name}.test.ts`))
      return at < 0 ? longest.length : at
    }
    return (await super.sort(files)).toSorted((a, b) => rank(a) - rank(b))
  }
}

export default defineConfig({
  root: import.meta.dirname,
  test: {
    sequence: { sequencer: LongestFirst },
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
          // A page shares two cores with builds and plans. A test that needs this is named in the report, "(retry x1)".
          retry: 1,
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
})
