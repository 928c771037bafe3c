/** The smallest ruleset that has a bit of everything; replace its words with your own. */
export const SKELETON = `ruleset lamp_dark "Desk lamp: switched on, no light"
  version "0.1.0"
  money EUR
  bench 48 per hour
  waiting 0.5 per hour
  comeback costs 40
  handover costs 60
  trust 90%
  second fault 4%
  unlisted 3%

# What can be replaced, and what can be done again.
part bulb   "LED bulb"     price 6 spare
part driver "lamp driver"  price 18 spare behind foot
  fit takes 12 min fit waits 24 h
setup plug  "mains plug seating" redo cures 80%
setup foot  "foot plate and its cable" redo cures 30%

complaint dark "the lamp gives no light when it is switched on" takes 0.2 min

# What can be wrong, how often compared with the others, and what shows it.
fault bulb_dead   "bulb failed"          in bulb   odds 6
fault driver_dead "driver failed"        in driver odds 3
  shows output below 10.8 V 95%
fault plug_loose  "plug not home"        in plug   odds 4
  shows output below 10.8 V
  shows moved is yes 90%
  remedy "Fit a new plug."
  fix takes 15 min fix costs 3
fault cable_nick  "cable pinched in the foot" in foot odds 1
  remedy "Lay a new cable."
  fix takes 25 min fix costs 4

told moved "Was the lamp moved just before?" yes or no
  normally is no 85% trust 90%
reading output "Voltage at the bulb's contacts, lamp on" in V from 0 to 15 by 0.1
  normally between 10.8 and 13.2 V 98%

test meter_output "Meter the bulb's contacts" reads output takes 3 min power on needs "multimeter"
  caution "Low voltage here, mains in the foot: keep the foot plate shut."
test reseat_plug "Pull the plug and push it home" redoes plug takes 6 min power off
test try_bulb    "Fit the known-good bulb"   swaps bulb   takes 4 min power off
test try_driver  "Fit the known-good driver" swaps driver takes 12 min power off
  caution "Pull the mains plug and wait a minute before the foot plate comes off."

when output between 10.8 and 13.2 V rule out driver_dead 98%
  because "a driver that gives its voltage works"

proof "Switch it on and off" times 5 takes 1 min
`
