import type { Version } from "../state/store.ts"

export const whenOf = ({ at }: Version): string =>
  new Date(at).toLocaleString([], { dateStyle: "medium", timeStyle: "medium" })

export const titleOf = (version: Version): string => (version.named ? version.title : whenOf(version))
