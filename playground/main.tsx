import "./style/tokens.css"
import "./style/base.css"
import "./style/shell.css"
import { render } from "preact"
import { start } from "./actions/start.ts"
import { Shell } from "./shell/shell.tsx"

await start()
render(<Shell />, document.getElementById("app")!)
