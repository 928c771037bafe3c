/** Two plugs that can both be loose. */
export const TWO_PLUGS = `ruleset two_plugs "Fan: dead"
  money EUR
  bench 60 per hour
  comeback costs 1000
  handover costs 1000
  second fault 10%
setup left "left plug"
setup right "right plug"
complaint dead "the fan stands still"
fault left_loose "left plug loose"   in left  odds 1
  shows left_lamp is no 95%
fault right_loose "right plug loose" in right odds 1
  shows right_lamp is no 95%
reading left_lamp "Is the lamp of the left plug lit?" yes or no
  normally is yes 99%
reading right_lamp "Is the lamp of the right plug lit?" yes or no
  normally is yes 99%
test push_left "Push the left plug home"   redoes left  takes 1 min
test push_right "Push the right plug home" redoes right takes 1 min
`
