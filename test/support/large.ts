/** A ruleset of about so many lines that compiles: parts with seats, a reading, two faults, two tests and a rule each. Invented. */
export function largeRuleset(lines: number): string {
  const head = `ruleset large "A machine of many parts"
  version "1.0.0"
  money EUR
  bench 60 per hour
  comeback costs 90
  handover costs 150
  trust 80%

complaint stuck "the machine does not start"
`
  const blocks: string[] = [head]
  let count = head.split("\n").length
  for (let i = 0; count < lines; i++) {
    const block = `
# Station ${i}
part  unit_${i} "drive unit ${i}" price ${40 + (i % 60)} spare
setup seat_${i} "seat of drive unit ${i}" of unit_${i} redo cures 80%
fault worn_${i} "drive unit ${i} worn" in unit_${i} odds ${1 + (i % 9)}
  shows feed_${i} below 9.5 V 95%
fault loose_${i} "drive unit ${i} not home" in seat_${i} odds ${1 + (i % 5)}
reading feed_${i} "Feed at drive unit ${i}" in V from 0 to 15 by 0.1
  normally between 11 and 13 V 97%
test meter_${i} "Meter the feed at drive unit ${i}" reads feed_${i} takes 3 min
test try_${i} "Fit the known-good drive unit ${i}" swaps unit_${i} takes ${8 + (i % 7)} min power off
when feed_${i} between 11 and 13 V rule out worn_${i}
  because "a feed in its limits clears drive unit ${i}"
`
    blocks.push(block)
    count += block.split("\n").length - 1
  }
  return blocks.join("")
}
