#!/usr/bin/env node
import { run } from "./program.ts"

// `ruleout … | head` ends without a word when `head` has enough.
for (const stream of [process.stdout, process.stderr])
  stream.on("error", (problem: NodeJS.ErrnoException) => {
    if (problem.code === "EPIPE") process.exit(process.exitCode ?? 0)
    throw problem
  })

process.exitCode = await run(process.argv.slice(2))
