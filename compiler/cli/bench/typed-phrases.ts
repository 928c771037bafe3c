import * as common from "../../wording/compiled/common.ts"
import * as m from "../../wording/compiled/terminal.ts"
import type { Message } from "../../wording/message.ts"
import type { Words } from "../../wording/words.ts"
import { uniqueMatch } from "./read-typed.ts"

/** What is typed at the bench, in its language or in English: what it means is called by the English words. */

const COMMANDS = [
  m.typeHelp,
  m.typeQuit,
  m.typeCandidates,
  m.typeWhy,
  m.typeStanding,
  m.typeOutlook,
  m.typeSteps,
  m.typeTook,
  m.typeCannot,
  m.typeUndo,
  m.typeFind,
  m.typeOwnerStopsAt,
  m.typeNotWorth,
  m.typeCameBack,
]

const ACTS = [
  m.typePutBack,
  m.typeTakeOut,
  m.typeKeep,
  m.typeReplace,
  m.typeFix,
  m.typeLookAgain,
  m.typeProofRun,
  m.typeHandOver,
]

const ANSWERS = [
  m.typeGone,
  m.typeStays,
  m.typeStaysLeftIn,
  m.typeStaysPutBack,
  m.typeHolds,
  m.typeFails,
  m.typeDone,
  common.yes,
  common.no,
]

const KINDS = { command: COMMANDS, act: ACTS, answer: ANSWERS } as const

/** All that can be typed, by what it is, in the language of the bench. */
export function phrases(kind: keyof typeof KINDS, words: Words): string[] {
  return KINDS[kind].map((message) => words.say(message))
}

/** A text with the phrase that it begins with in English; as it is where it begins with none. */
export function inEnglish(text: string, kind: keyof typeof KINDS, words: Words): string {
  const typed = text.toLowerCase()
  const begun = KINDS[kind]
    .map((message) => ({ own: words.say(message).toLowerCase(), english: meaningOf(message) }))
    .filter(({ own }) => typed === own || typed.startsWith(`${own} `))
    .sort((a, b) => b.own.length - a.own.length)
  const [first] = begun
  return first === undefined ? text : first.english + text.slice(first.own.length)
}

/** An English phrase in the language of the bench. */
export function inWords(phrase: string, words: Words): string {
  const message = Object.values(KINDS)
    .flat()
    .find((each) => meaningOf(each) === phrase)
  return message === undefined ? phrase : words.say(message)
}

/** The one of these answers, in English, that a text is or begins, in the language of the bench or in English. */
export function answerTyped(answers: readonly string[], text: string, words: Words): string | undefined {
  const own = answers.map((answer) => inWords(answer, words))
  const found = uniqueMatch(own, text)
  return found === undefined ? uniqueMatch(answers, text) : answers[own.indexOf(found)]
}

function meaningOf([, english]: Message): string {
  return String(english)
}
