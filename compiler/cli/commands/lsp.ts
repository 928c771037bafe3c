import type { Command } from "commander"

const HELP = `
Editors start it. How to set up Neovim, Helix, Emacs, Kate and VS Code is on the page about editors of the reference.`

export function addLsp(program: Command): void {
  program
    .command("lsp")
    .summary("serve an editor")
    .description("Serves the Language Server Protocol 3.17 on standard input and output.")
    .option("--stdio", "accepted because many editors pass it; this is the default")
    .addHelpText("after", HELP)
    .action(async () => {
      const { serve } = await import("../lsp/server.ts")
      await serve()
    })
}
