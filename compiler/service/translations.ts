/** Called after a language, like `kiosk.de.ruleout`. */
const NAME = /\.[a-z]{2,3}(-[a-z0-9]+)*\.ruleout$/i
const TEXTS = /^[ \t]*texts\b/m

/** The files of a project whose texts in other languages are taken although nothing uses them. */
export function translationsIn(
  files: Iterable<readonly [path: string, text: string]>,
  root: string,
): string[] {
  return [...files].flatMap(([path, text]) =>
    path !== root && NAME.test(path) && TEXTS.test(text) ? [path] : [],
  )
}
