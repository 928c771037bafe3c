import type { Span } from "../diagnostics/diagnostic.ts"

export interface Name {
  readonly text: string
  readonly span: Span
  /** In a list, the comma before it is missing, which has been reported: it may be the rest of the name before. */
  readonly lacksComma?: true
}

/** A string literal; `value` has its escapes resolved. */
export interface Text {
  readonly value: string
  readonly span: Span
}

/** `"images/probe.svg" "the probe on pin 3"`: a picture as seen from its file, and what it shows. */
export interface PictureTree {
  readonly kind: "picture"
  readonly path: Text
  readonly text?: Text
  readonly span: Span
}

/** A caution with the pictures that come right after it. */
export interface CautionTree extends Text {
  readonly pictures: readonly PictureTree[]
}

/** `NAME "text" as "text"`: a text of the ruleset, and what it is in the language of the declaration. */
export interface Translation {
  /** Whose text it is; absent: of all that have it. */
  readonly name?: Name
  readonly original: Text
  /** Empty if it isn't translated yet. */
  readonly text: Text
  readonly span: Span
}

/** `READING is VALUE as "text"` */
export interface ValueTranslation {
  readonly reading: Name
  readonly value: Name
  readonly text: Text
  readonly span: Span
}
