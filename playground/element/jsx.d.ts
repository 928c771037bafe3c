import type { ComponentChildren } from "preact"
import type { StationProps } from "../bench/job-station.tsx"

declare module "preact" {
  namespace JSX {
    interface IntrinsicElements {
      "ruleout-bench": {
        readonly station: StationProps
        readonly lang?: string
        readonly dir?: string
        readonly children?: ComponentChildren
      }
    }
  }
}
