/** The options of every command that plans. */
import { type Command, InvalidArgumentError } from "commander"
import type { PlanOptions } from "../../plan/plan.ts"
import { DEFAULT_EFFORT, EFFORT_OF_SMALL, SMALL } from "../../plan/planner.ts"
import { grouped } from "../../wording/figures.ts"

export interface PlanFlags {
  readonly effort?: number
  readonly gap?: number
  readonly mass?: number
}

export function addPlanFlags(command: Command): Command {
  return command
    .option(
      "--effort <n>",
      `explore at most this many states (default: ${grouped(DEFAULT_EFFORT)}, and ${grouped(EFFORT_OF_SMALL)} for up to ${SMALL} faults and ${SMALL} tests)`,
      positiveInteger,
    )
    .option(
      "--gap <percent>",
      "stop when the cost is proved to be within this of the least, like 5%",
      percentage,
    )
    .option("--mass <percent>", "leave branches less likely than this to the runner, like 0.01%", percentage)
}

export function planOptions({ effort, gap, mass }: PlanFlags): PlanOptions {
  return {
    ...(effort === undefined ? {} : { effort }),
    ...(gap === undefined ? {} : { gap }),
    ...(mass === undefined ? {} : { mass }),
  }
}

function positiveInteger(text: string): number {
  const n = Number(text)
  if (!Number.isSafeInteger(n) || n < 1) throw new InvalidArgumentError("Give a whole number from 1 on.")
  return n
}

/** `5%`, `5 %` or `5`, as a fraction of 1. */
export function percentage(text: string): number {
  const percent = /^(\d+(?:\.\d*)?|\.\d+)\s*%?$/.exec(text.trim())?.[1]
  if (percent === undefined || Number(percent) > 100)
    throw new InvalidArgumentError("Give a percentage from 0 to 100.")
  return Number(percent) / 100
}
