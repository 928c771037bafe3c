#!/usr/bin/env node
import { reportError } from "./io/report-error.ts"
import { outputError } from "./io/terminal.ts"
import { run } from "./program.ts"

// `ruleout … | head` ends silently when `head` has enough, and so does a terminal that is closed.
for (const stream of [process.stdout, process.stderr])
  stream.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code === "EPIPE" || error.code === "EIO") process.exit(process.exitCode ?? 0)
    process.exit(stream === process.stdout ? reportError(outputError(error)) : 2)
  })

process.exitCode = await run(process.argv.slice(2))
