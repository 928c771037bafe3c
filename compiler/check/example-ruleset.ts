/** The ruleset that the examples of all codes add their declarations to. The analysis reports nothing about it. */
export const FRAME = `ruleset gate_stuck "Car-park gate: button pressed, the arm stays down"
  version "1.0.0"
  money EUR
  bench 60 per hour
  comeback costs 120
  handover costs 200
  trust 80%

part  board     "control board"          price 140  spare
part  motor     "drive motor"            price 180
setup plug      "board plug seating"     of board
setup gear_mesh "gear mesh and its lock"

complaint stuck "the arm stays down after the button is pressed"

fault board_dead "control board failed"    in board      odds 4
  shows rail below 22 V 85%
fault motor_worn "motor brushes worn"      in motor      odds 5
  shows hum is no 40%
fault motor_open "motor winding open"      in motor      odds 3
  shows hum is no 95%
fault plug_loose "board plug not home"     in plug       odds 6
fault gear_held  "gear held by its lock"   in gear_mesh  odds 2

reading hum "Does the motor hum when the button is pressed?" yes or no
  normally is yes 97%
reading rail "Supply at the board" in V from 0 to 30 by 0.1
  normally between 22 and 26 V 95%

test listen_hum  "Press the button and listen at the motor"  reads hum         takes 1 min
test meter_rail  "Meter the supply at the board"             reads rail        takes 2 min  power on
  caution "Live terminals: one hand, insulated probes, keep clear of the arm."
test reseat_plug "Pull the board plug and seat it again"     redoes plug       takes 4 min  power off
test free_gear   "Open the lock and close it again"          redoes gear_mesh  takes 5 min  power off
test try_board   "Fit the known-good control board"          swaps board       takes 20 min power off
`
