import type { Plugin } from "vite"
import { catalogue } from "./compiled-messages.ts"

/** All messages of the bench as an element, in an order that its language files share. */
const KEYS = ["common", "runner", "bench"].flatMap((room) => Object.keys(catalogue("en", room)))

/** In the element a key is the number of its message: names are of use to those who read the source only. */
export function shortKey(key: string): string {
  const at = KEYS.indexOf(key)
  return at < 0 ? key : at.toString(36)
}

export function shortKeys(): Plugin {
  return {
    name: "short-keys",
    enforce: "pre",
    transform: (code, file) =>
      /\/wording\/compiled\/\w+\.ts$/.test(file)
        ? code.replace(/= \["(\w+)",/g, (_, key: string) => `= ["${shortKey(key)}",`)
        : undefined,
  }
}
