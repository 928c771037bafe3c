import "./style/tokens.css"
import "./style/base.css"
import "./style/shell.css"
import { render } from "preact"
import { start } from "./actions/start.ts"
import { Shell } from "./shell/shell.tsx"
import { elementOf } from "./ui/element-of.ts"

await start()
render(<Shell />, elementOf("app"))
