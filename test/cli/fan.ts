/** Two plugs and a lamp that tells of one of them. */
export const FAN = `ruleset fan "Fan: dead"
  money EUR
  bench 60 per hour
  handover costs 1000
setup left "left plug"
setup right "right plug"
complaint dead "the fan stands still"
fault left_loose "left plug loose"   in left  odds 1
fault right_loose "right plug loose" in right odds 1
  shows lamp is no 95%
reading lamp "Is the lamp lit?" yes or no
test look_lamp "Look at the lamp" reads lamp takes 1 min
test push_left "Push the left plug home" redoes left takes 1 min
test push_right "Push the right plug home" redoes right takes 1 min
`
