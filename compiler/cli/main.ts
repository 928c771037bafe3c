#!/usr/bin/env node
import { run } from "./program.ts"

// `ruleout … | head` ends silently when `head` has enough.
for (const stream of [process.stdout, process.stderr])
  stream.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code === "EPIPE") process.exit(process.exitCode ?? 0)
    throw error
  })

process.exitCode = await run(process.argv.slice(2))
