/** `ruleout/bench`: to import it defines `<ruleout-bench>`. Bundled by `playground/build/bundle-parts.ts`. */
import { defineBench } from "./ruleout-bench.tsx"

defineBench()
