import { monaco } from "./monaco.ts"

/** Token colours keep 4.5 : 1 on their ground; kinds differ in weight or slant too. */
function define(
  name: string,
  base: "vs" | "vs-dark",
  ink: Record<string, string>,
  ground: string,
  line: string,
  soft: string,
): void {
  monaco.editor.defineTheme(name, {
    base,
    inherit: true,
    rules: [
      { token: "", foreground: ink.ink!, background: ground },
      { token: "declaration", foreground: ink.accent!, fontStyle: "bold" },
      { token: "keyword", foreground: ink.accent! },
      { token: "new-name", foreground: ink.ink!, fontStyle: "bold" },
      { token: "name", foreground: ink.ink! },
      { token: "number", foreground: ink.number! },
      { token: "unit", foreground: ink.number! },
      { token: "text", foreground: ink.text! },
      { token: "comment", foreground: ink.quiet!, fontStyle: "italic" },
      { token: "mark", foreground: ink.quiet! },
      { token: "broken", foreground: ink.bad!, fontStyle: "underline" },
    ],
    colors: {
      "editor.background": `#${ground}`,
      "editor.foreground": `#${ink.ink}`,
      "editorLineNumber.foreground": `#${ink.quiet}`,
      "editorLineNumber.activeForeground": `#${ink.ink}`,
      "editor.lineHighlightBackground": `#${line}`,
      "editor.lineHighlightBorder": "#00000000",
      focusBorder: `#${ink.accent}`,
      "editorWidget.background": `#${ground}`,
      "editorWidget.foreground": `#${ink.ink}`,
      "editorSuggestWidget.background": `#${ground}`,
      "editorSuggestWidget.foreground": `#${ink.ink}`,
      "editorSuggestWidget.selectedBackground": `#${soft}`,
      "editorSuggestWidget.selectedForeground": `#${ink.ink}`,
      "editorSuggestWidget.selectedIconForeground": `#${ink.ink}`,
      "editorSuggestWidget.highlightForeground": `#${ink.accent}`,
      "editorSuggestWidget.focusHighlightForeground": `#${ink.accent}`,
      "editorSuggestWidgetStatus.foreground": `#${ink.quiet}`,
      "editor.selectionBackground": `#${soft}`,
      "editorError.foreground": `#${ink.bad}`,
    },
  })
}

/** Called once, before the first editor. */
export function defineThemes(): void {
  define(
    "ruleout-light",
    "vs",
    { ink: "1a2325", accent: "0b5863", number: "7a3b00", text: "2c5a2c", quiet: "596668", bad: "a1241c" },
    "ffffff",
    "f0f3ee",
    "cfe4e7",
  )
  define(
    "ruleout-dark",
    "vs-dark",
    { ink: "e7ece9", accent: "7acbd4", number: "f0b681", text: "a5d6a0", quiet: "9aa8a7", bad: "ff9d91" },
    "1c2224",
    "242c2e",
    "1f464d",
  )
}
