import { readdirSync, readFileSync } from "node:fs"
import { join } from "node:path"
import {
  type Catalogue,
  differences,
  englishModule,
  tableModule,
} from "../../compiler/wording/messages/compile.ts"

const wording = join(import.meta.dirname, "../../compiler/wording")
const messages = join(wording, "messages")

/** The languages that there are catalogues in, English among them. */
export const languages = readdirSync(messages).filter((name) => !name.includes("."))

/** What each room is called: a file in the folder of each language. */
export const rooms = readdirSync(join(messages, "en")).map((file) => file.replace(/\.json$/, ""))

export function catalogue(language: string, room: string): Catalogue {
  return JSON.parse(readFileSync(join(messages, language, `${room}.json`), "utf8")) as Catalogue
}

/** Files, by path, with what is to be in them. @throws SyntaxError where a language differs from English */
export function compiledMessages(): Map<string, string> {
  const keys = rooms.flatMap((room) => Object.keys(catalogue("en", room)))
  const twice = keys.filter((key, i) => keys.indexOf(key) !== i)
  if (twice.length > 0) throw new SyntaxError(`${twice.join(", ")}: keys are one room's alone`)
  const files = rooms.flatMap((room) => {
    const english = catalogue("en", room)
    return languages.map((language): [string, string] => {
      const own = catalogue(language, room)
      const wrong = differences(english, own)
      if (wrong.length > 0) throw new SyntaxError(`${language}/${room}.json: ${wrong.join("; ")}`)
      return language === "en"
        ? [join(wording, "compiled", `${room}.ts`), englishModule(own)]
        : [join(wording, "compiled", `${room}.${language}.ts`), tableModule(own)]
    })
  })
  return new Map(files)
}
