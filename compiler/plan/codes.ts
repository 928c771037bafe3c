import type { CodeTable } from "../diagnostics/collector.ts"

/** Every code for what is right and yet too large to plan or to run. The reference page of codes is made from it. */
export const LIMIT_CODES = {
  "too-many-outcomes": ["error", "A test can come out in more ways than anybody could tell apart."],
  "too-many-faults": [
    "error",
    "There are more faults than a runner takes: two at once are a hypothesis each.",
  ],
  "too-many-cells": [
    "error",
    "Rules and `shows` cut a reading into more values that matter than the planner numbers.",
  ],
  "too-large": ["error", "A runner would refuse the graph; the message names the place in it."],
} as const satisfies CodeTable<string>
