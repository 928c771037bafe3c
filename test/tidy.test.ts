import { spawnSync } from "node:child_process"
import { join } from "node:path"
import { expect, test } from "vitest"

const root = join(import.meta.dirname, "..")

/** So that one command checks all: what `npm run check` says, as tests. */
test.each([
  ["the types hold", "typescript/bin/tsc", ["-p", "tsconfig.json"]],
  ["format and lint have nothing to say", "@biomejs/biome/bin/biome", ["check", "--colors=off", "."]],
])("%s", (_, tool, args) => {
  const run = spawnSync(process.execPath, [join(root, "node_modules", tool), ...args], {
    cwd: root,
    encoding: "utf8",
  })
  expect(run.status === 0 ? "" : run.stdout + run.stderr).toBe("")
})
