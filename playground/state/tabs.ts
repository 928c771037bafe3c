/** What the tabs of this page tell each other; a browser without a channel has tabs that don't hear. */
export type Told = { readonly of: "job" } | { readonly of: "project"; readonly rev: number }

const channel = typeof BroadcastChannel === "undefined" ? undefined : new BroadcastChannel("ruleout")

export function tellTabs(told: Told): void {
  channel?.postMessage(told)
}

export function hearTabs(hear: (told: Told) => void): void {
  channel?.addEventListener("message", ({ data }: MessageEvent<Told>) => hear(data))
}
