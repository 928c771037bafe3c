import "./style/tokens.css"
import "./style/base.css"
import "./style/controls.css"
import "./style/desk.css"
import "./style/shell.css"
import { render } from "preact"
import { stationAhead } from "./actions/navigate.ts"
import { start } from "./actions/start.ts"
import { fetchStation, Shell } from "./shell/shell.tsx"
import { elementOf } from "./ui/element-of.ts"

// Comes while what was kept is brought back.
fetchStation(stationAhead())
await start()
render(<Shell />, elementOf("app"))
