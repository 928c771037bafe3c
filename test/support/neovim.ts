import { existsSync } from "node:fs"
import { debian } from "./debian.ts"

/**
 * Path of a Neovim: `RULEOUT_NEOVIM` where it is set, else an installed one, else Debian's package, installed here where
 * we may. Throws with what to do otherwise: its tests are never skipped in silence.
 */
export function neovim(): string {
  const told = process.env.RULEOUT_NEOVIM
  if (told === undefined) return debian(["/usr/bin/nvim", "/usr/local/bin/nvim"], "neovim") ?? explain()
  if (existsSync(told)) return told
  throw new Error(`RULEOUT_NEOVIM says \`${told}\`, and there is no such file.`)
}

function explain(): never {
  throw new Error(
    "The tests of the language server need Neovim, and none was found. Install it (on Debian: `apt-get install neovim`), or set RULEOUT_NEOVIM to one.",
  )
}
