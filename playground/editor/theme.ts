import { monaco } from "./monaco.ts"

/** The page's colours once more, since the editor takes no custom properties; `soft` is under what is selected. */
interface Palette {
  readonly ink: string
  readonly quiet: string
  readonly accent: string
  readonly onAccent: string
  readonly number: string
  readonly text: string
  readonly bad: string
  readonly warn: string
  readonly note: string
  readonly ground: string
  readonly row: string
  readonly soft: string
  readonly line: string
  readonly edge: string
  readonly match: string
}

const light: Palette = {
  ink: "#1a2325",
  quiet: "#596668",
  accent: "#0b5863",
  onAccent: "#ffffff",
  number: "#7a3b00",
  text: "#2c5a2c",
  bad: "#a1241c",
  warn: "#7a4a00",
  note: "#2f5488",
  ground: "#ffffff",
  row: "#f0f3ee",
  soft: "#cfe4e7",
  line: "#cdd3cd",
  edge: "#7b8a8a",
  match: "#f6dfa3",
}

const dark: Palette = {
  ink: "#e7ece9",
  quiet: "#9aa8a7",
  accent: "#7acbd4",
  onAccent: "#06262b",
  number: "#f0b681",
  text: "#a5d6a0",
  bad: "#ff9d91",
  warn: "#f3c069",
  note: "#9fc0f0",
  ground: "#1c2224",
  row: "#242c2e",
  soft: "#1f464d",
  line: "#374245",
  edge: "#6d7f82",
  match: "#5a4518",
}

/** Token colours keep 4.5 : 1 on their ground; kinds differ in weight or slant too. */
function rulesOf(of: Palette): monaco.editor.ITokenThemeRule[] {
  const rule = (token: string, colour: string, fontStyle?: string) => ({
    token,
    foreground: colour.slice(1),
    ...(fontStyle === undefined ? {} : { fontStyle }),
  })
  return [
    { ...rule("", of.ink), background: of.ground.slice(1) },
    rule("declaration", of.accent, "bold"),
    rule("keyword", of.accent),
    rule("new-name", of.ink, "bold"),
    rule("name", of.ink),
    rule("number", of.number),
    rule("unit", of.number),
    rule("text", of.text),
    rule("comment", of.quiet, "italic"),
    rule("mark", of.quiet),
    rule("broken", of.bad, "underline"),
  ]
}

function colorsOf(of: Palette): monaco.editor.IColors {
  return { ...textColors(of), ...widgetColors(of), ...listColors(of), ...peekColors(of) }
}

function textColors({ ink, quiet, accent, bad, warn, note, ground, row, soft, edge, match }: Palette) {
  return {
    "editor.background": ground,
    "editor.foreground": ink,
    "editorCursor.foreground": ink,
    "editorLineNumber.foreground": quiet,
    "editorLineNumber.activeForeground": ink,
    "editor.lineHighlightBackground": row,
    "editor.lineHighlightBorder": "#00000000",
    "editor.selectionBackground": soft,
    "editor.inactiveSelectionBackground": row,
    "editor.selectionHighlightBackground": `${soft}99`,
    "editor.wordHighlightBackground": `${soft}99`,
    "editor.wordHighlightStrongBackground": soft,
    "editor.findMatchBackground": match,
    "editor.findMatchHighlightBackground": `${match}99`,
    "editorBracketMatch.background": soft,
    "editorBracketMatch.border": edge,
    "editorError.foreground": bad,
    "editorWarning.foreground": warn,
    "editorInfo.foreground": note,
    "editorInlayHint.foreground": quiet,
    "editorInlayHint.background": row,
    "editorLightBulb.foreground": warn,
    "editorLightBulbAutoFix.foreground": accent,
    "scrollbarSlider.background": `${edge}66`,
    "scrollbarSlider.hoverBackground": `${edge}99`,
    "scrollbarSlider.activeBackground": edge,
  }
}

function widgetColors({ ink, quiet, accent, onAccent, ground, row, soft, line, edge }: Palette) {
  return {
    focusBorder: accent,
    "widget.border": edge,
    "editorWidget.background": ground,
    "editorWidget.foreground": ink,
    "editorWidget.border": edge,
    "editorHoverWidget.background": ground,
    "editorHoverWidget.foreground": ink,
    "editorHoverWidget.border": edge,
    "editorHoverWidget.statusBarBackground": row,
    "textLink.foreground": accent,
    "textLink.activeForeground": accent,
    "textCodeBlock.background": row,
    "input.background": ground,
    "input.foreground": ink,
    "input.border": edge,
    "input.placeholderForeground": quiet,
    "inputValidation.infoBackground": ground,
    "inputValidation.infoForeground": ink,
    "inputValidation.infoBorder": accent,
    "inputOption.activeBackground": soft,
    "inputOption.activeForeground": ink,
    "inputOption.activeBorder": accent,
    "button.background": accent,
    "button.foreground": onAccent,
    "badge.background": soft,
    "badge.foreground": ink,
    "keybindingLabel.background": row,
    "keybindingLabel.foreground": ink,
    "keybindingLabel.border": line,
    "keybindingLabel.bottomBorder": edge,
    "quickInput.background": ground,
    "quickInput.foreground": ink,
    "quickInputTitle.background": row,
    "pickerGroup.foreground": quiet,
    "pickerGroup.border": line,
    "menu.background": ground,
    "menu.foreground": ink,
    "menu.border": edge,
    "menu.separatorBackground": line,
    "menu.selectionBackground": soft,
    "menu.selectionForeground": ink,
  }
}

function listColors({ ink, quiet, accent, ground, row, soft, edge }: Palette) {
  return {
    "list.hoverBackground": row,
    "list.hoverForeground": ink,
    "list.focusBackground": soft,
    "list.focusForeground": ink,
    "list.activeSelectionBackground": soft,
    "list.activeSelectionForeground": ink,
    "list.inactiveSelectionBackground": soft,
    "list.inactiveSelectionForeground": ink,
    "list.highlightForeground": accent,
    "list.focusHighlightForeground": accent,
    "quickInputList.focusBackground": soft,
    "quickInputList.focusForeground": ink,
    "editorActionList.background": ground,
    "editorActionList.foreground": ink,
    "editorActionList.focusBackground": soft,
    "editorActionList.focusForeground": ink,
    "editorSuggestWidget.background": ground,
    "editorSuggestWidget.foreground": ink,
    "editorSuggestWidget.border": edge,
    "editorSuggestWidget.selectedBackground": soft,
    "editorSuggestWidget.selectedForeground": ink,
    "editorSuggestWidget.selectedIconForeground": ink,
    "editorSuggestWidget.highlightForeground": accent,
    "editorSuggestWidget.focusHighlightForeground": accent,
    "editorSuggestWidgetStatus.foreground": quiet,
  }
}

function peekColors({ ink, quiet, accent, bad, warn, note, ground, row, soft, match }: Palette) {
  return {
    "peekView.border": accent,
    "peekViewTitle.background": row,
    "peekViewTitleLabel.foreground": ink,
    "peekViewTitleDescription.foreground": quiet,
    "peekViewEditor.background": ground,
    "peekViewEditor.matchHighlightBackground": match,
    "peekViewResult.background": row,
    "peekViewResult.fileForeground": ink,
    "peekViewResult.lineForeground": ink,
    "peekViewResult.selectionBackground": soft,
    "peekViewResult.selectionForeground": ink,
    "peekViewResult.matchHighlightBackground": match,
    "editorMarkerNavigation.background": ground,
    "editorMarkerNavigationError.background": bad,
    "editorMarkerNavigationError.headerBackground": row,
    "editorMarkerNavigationWarning.background": warn,
    "editorMarkerNavigationWarning.headerBackground": row,
    "editorMarkerNavigationInfo.background": note,
    "editorMarkerNavigationInfo.headerBackground": row,
  }
}

/** Called once, before the first editor. */
export function defineThemes(): void {
  const define = (name: string, base: "vs" | "vs-dark", palette: Palette) =>
    monaco.editor.defineTheme(name, {
      base,
      inherit: true,
      rules: rulesOf(palette),
      colors: colorsOf(palette),
    })
  define("ruleout-light", "vs", light)
  define("ruleout-dark", "vs-dark", dark)
}
