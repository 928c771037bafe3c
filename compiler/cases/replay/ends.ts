/** How a case ends, by chances that add up to 1; `notFollowed` where the graph does not plan, or a branch was too unlikely to follow. */
export interface Ends {
  fixed: number
  comesBack: number
  handedOver: number
  notFollowed: number
}

export const noEnds = (): Ends => ({ fixed: 0, comesBack: 0, handedOver: 0, notFollowed: 0 })
