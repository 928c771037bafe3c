/** The small whole ruleset that the language page shows: a ticket kiosk that is powered and dark. Invented. */
export const KIOSK_DARK = `ruleset kiosk_dark "Ticket kiosk: powered, screen dark"
  version "1.2.0"
  money EUR
  bench 48 per hour
  comeback costs 90
  handover costs 150
  trust 90%

part  supply  "24 V supply"        price 70   spare
part  panel   "display panel"      price 210  spare
part  driver  "panel driver board" price 95   spare  behind rear_cover
setup ribbon  "panel ribbon seating"  of panel   redo cures 85%
setup rear_cover "rear cover and its switch"     redo cures 40%

complaint dark "the screen stays dark for a minute after power-up"

fault supply_low   "supply sags under load"  in supply  odds 6
  shows rail between 15 and 22.7 V 90%
fault panel_dead   "panel failed"            in panel   odds 3
fault driver_dead  "driver board failed"     in driver  odds 4
  shows glow is no
fault ribbon_loose "ribbon not home"         in ribbon  odds 9
  shows dark 70%                       # comes and goes
fault switch_open  "cover switch held open"  in rear_cover odds 2

told moved "Was the kiosk moved just before?"  yes or no  trust 80%
reading glow "Any glow from the backlight in a dark room?" yes or no
  normally is yes 98%
reading rail "Rail at the driver plug, machine on" in V from 0 to 30 by 0.01
  normally between 22.8 and 25.2 V 97%

test look_glow "Shade the screen and look for a glow"  reads glow  takes 1 min
test meter_rail "Meter the rail at the driver plug"
  reads rail   takes 4 min   power on   needs "multimeter"
  caution "Live plug: one hand, insulated probes."
test reseat_ribbon "Reseat both ends of the ribbon"  redoes ribbon  takes 6 min  power off  tries 3
test try_panel  "Fit the known-good panel"   swaps panel   takes 18 min  power off
test try_driver "Fit the known-good driver board" swaps driver takes 12 min power off
  after meter_rail

when rail between 22.8 and 25.2 V  rule out supply_low
  because "a rail inside ±5 % under load clears the supply"
when glow is yes and moved is no   rule out driver_dead
never glow is yes and rail below 9 V

proof "Power it up cold"  times 5  takes 2 min
proof "Tilt it 15° each way while on"  takes 3 min  for panel, ribbon
`
