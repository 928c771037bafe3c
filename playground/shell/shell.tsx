import HelpIcon from "lucide/dist/esm/icons/circle-question-mark.mjs"
import DarkIcon from "lucide/dist/esm/icons/moon.mjs"
import WriteIcon from "lucide/dist/esm/icons/pencil-line.mjs"
import ShipIcon from "lucide/dist/esm/icons/send.mjs"
import LightIcon from "lucide/dist/esm/icons/sun.mjs"
import AutoIcon from "lucide/dist/esm/icons/sun-moon.mjs"
import CasesIcon from "lucide/dist/esm/icons/table-2.mjs"
import GraphIcon from "lucide/dist/esm/icons/workflow.mjs"
import BenchIcon from "lucide/dist/esm/icons/wrench.mjs"
import CloseIcon from "lucide/dist/esm/icons/x.mjs"
import type { ComponentType } from "preact"
import { useEffect } from "preact/hooks"
import { go } from "../actions/navigate.ts"
import { cycleTheme } from "../actions/theme.ts"
import { rulesetTitle } from "../state/ruleset-name.ts"
import { notice, project, STATIONS, type Station, station, theme } from "../state/state.ts"
import { CodeText } from "../ui/code-text.tsx"
import { Icon } from "../ui/icon.tsx"
import { Lazy } from "../ui/lazy.tsx"
import { Tool } from "../ui/tool.tsx"
import { Keys } from "./keys.tsx"
import { benchNote, casesNote, graphNote, shipNote, writeNote } from "./station-notes.ts"
import { StatusLine } from "./status-line.tsx"

const names: Record<Station, string> = {
  write: "Write",
  graph: "Graph",
  bench: "Bench",
  cases: "Cases",
  ship: "Ship",
  help: "Help",
}
const icons = { write: WriteIcon, graph: GraphIcon, bench: BenchIcon, cases: CasesIcon, ship: ShipIcon }
const notes = { write: writeNote, graph: graphNote, bench: benchNote, cases: casesNote, ship: shipNote }

/** Each station is its own chunk: the bench comes up without the editor, the editor without the plots. */
const views: Record<Station, () => Promise<ComponentType>> = {
  write: () => import("../views/write.tsx").then((m) => m.Write),
  graph: () => import("../views/graph.tsx").then((m) => m.GraphView),
  bench: () => import("../views/bench.tsx").then((m) => m.Bench),
  cases: () => import("../views/cases.tsx").then((m) => m.Cases),
  ship: () => import("../views/ship.tsx").then((m) => m.Ship),
  help: () => import("../views/help.tsx").then((m) => m.Help),
}

/** The code of a station, ahead of the moment at which it is shown; whether it can't come is said then. */
export function fetchStation(name: Station): void {
  views[name]().catch(() => {})
}

export function Shell() {
  return (
    <>
      <header class="head">
        <Brand />
        <nav class="stations" aria-label="Stations">
          {STATIONS.map((name, i) => (
            <StationLink key={name} name={name} position={i + 1} />
          ))}
        </nav>
        <div class="tools row">
          <ThemeSwitch />
          <Keys />
          <HelpLink />
        </div>
      </header>
      <Stage />
      <NoticeBox />
      <StatusLine />
    </>
  )
}

function Brand() {
  return (
    <div class="brand">
      <svg width="28" height="28" viewBox="0 0 24 24" aria-hidden="true">
        <rect width="24" height="24" rx="5" fill="currentColor" />
        <path d="M5 7h14M5 12h14M5 17h9" stroke="var(--on-accent)" stroke-width="2" />
        <path d="M3 9.500 21 4.500M3 14.500 21 9.500" stroke="var(--caution)" stroke-width="2" />
      </svg>
      <h1>
        Ruleout
        <small>{rulesetTitle.value ?? project.value.root}</small>
      </h1>
    </div>
  )
}

function HelpLink() {
  return (
    <a
      class="button tool"
      href="#help"
      aria-label="Help"
      aria-current={station.value === "help" ? "page" : undefined}
      aria-keyshortcuts="Alt+6"
    >
      <Icon of={HelpIcon} />
      <span class="word">Help</span>
    </a>
  )
}

function StationLink({ name, position }: { name: (typeof STATIONS)[number]; position: number }) {
  const note = notes[name].value
  return (
    <a
      href={`#${name}`}
      aria-current={station.value === name ? "page" : undefined}
      aria-keyshortcuts={`Alt+${position}`}
      onClick={(event) => {
        event.preventDefault()
        go(name)
      }}
    >
      <Icon of={icons[name]} />
      <b>{names[name]}</b>
      <span class={note.bad ? "bad" : ""}>
        {note.text}
        {note.more && <span class="more">{note.more}</span>}
      </span>
    </a>
  )
}

function Stage() {
  const name = station.value
  useEffect(() => {
    document.title = `${names[name]} · Ruleout`
  }, [name])
  return (
    <main class="stage" tabIndex={-1} id="stage" aria-label={names[name]}>
      <Lazy load={views[name]} name={names[name]} />
    </main>
  )
}

const themes = {
  auto: { label: "Auto", icon: AutoIcon },
  light: { label: "Light", icon: LightIcon },
  dark: { label: "Dark", icon: DarkIcon },
} as const

function ThemeSwitch() {
  const { label, icon } = themes[theme.value]
  return (
    <Tool
      icon={icon}
      onClick={cycleTheme}
      aria-label={`Colours: ${label}`}
      title={`Colours: ${label.toLowerCase()}`}
    />
  )
}

/** Milliseconds for which a message stays that asks for nothing. */
const LINGERS = 8000

function NoticeBox() {
  const shown = notice.value
  const close = () => {
    notice.value = undefined
  }
  useEffect(() => {
    if (!shown || shown.bad || shown.action) return
    const timer = setTimeout(() => {
      if (notice.peek() === shown) close()
    }, LINGERS)
    return () => clearTimeout(timer)
  }, [shown])
  return (
    <div class="notice-place" aria-live="polite">
      {shown && (
        <div class={`notice ${shown.bad ? "bad" : ""}`} role={shown.bad ? "alert" : undefined}>
          <p>
            <CodeText text={shown.text} />
          </p>
          {shown.action && (
            <button
              type="button"
              onClick={() => {
                shown.action?.run()
                close()
              }}
            >
              {shown.action.label}
            </button>
          )}
          <Tool icon={CloseIcon} aria-label="Close this message" onClick={close} />
        </div>
      )}
    </div>
  )
}
