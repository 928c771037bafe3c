import { diagnostic } from "../../diagnostics/diagnostic.ts"
import { at } from "../../run/lookup.ts"
import { backticked, listed } from "../../wording/sentence.ts"
import type { Check } from "../code.ts"
import { eliminationLabels, eliminationName } from "../message-parts.ts"
import { deadFaults } from "../proofs/dead-faults.ts"

export const deadFault: Check = {
  code: "dead-fault",
  severity: "error",
  summary: "A fault that is ruled out under all findings.",
  explain: `Whatever the machine shows, once everything is read this fault is ruled out, alone and (with \`second fault\`) together with
any other. Usually two rules split a range between them and both rule out the same fault, or a \`never\` forbids the
findings that would have left it. The message names the fewest rules that do it.`,
  example: `when rail below 22 V     rule out motor_worn
when rail at least 22 V  rule out motor_worn`,
  fixed: `when rail below 22 V  rule out motor_worn`,
  *run(context) {
    const { model } = context
    for (const { fault, explain } of context.once(deadFaults)) {
      const { by, smallest } = explain()
      const eliminations = by.map((i) => at(context.eliminations, i))
      const { name, span } = at(model.faults, fault)
      const names = listed(eliminations.map((each) => eliminationName(model, each)))
      yield diagnostic(
        "error",
        "dead-fault",
        span,
        `${backticked(name)} is ruled out whatever is found: by ${names}.`,
        {
          labels: eliminationLabels(model, eliminations),
          help: `Let one of them spare ${backticked(name)}, or remove the fault.${smallest ? "" : " (Fewer rules may be enough: the search reached its limit.)"}`,
        },
      )
    }
  },
}
