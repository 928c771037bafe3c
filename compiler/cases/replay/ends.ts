/** How a case ends, by chances that add up to 1; `notFollowed` where the graph does not plan, or a branch was too unlikely to follow. */
export interface Ends {
  fixed: number
  comesBack: number
  handedOver: number
  notFollowed: number
}

export const noEnds = (): Ends => ({ fixed: 0, comesBack: 0, handedOver: 0, notFollowed: 0 })

/** What lies ahead of an open case from where its record ends, over all outcomes by their chances. */
export interface Ahead {
  readonly ends: Ends
  /** Expected, as far as it is followed. */
  minutes: number
  money: number
  /** Chance that at least one part is bought in vain. */
  inVain: number
  /** Money that the graph expects to be paid from where the case isn't followed further, whatever was confirmed. */
  toGo: number
}

export const nothingAhead = (): Ahead => ({ ends: noEnds(), minutes: 0, money: 0, inVain: 0, toGo: 0 })
