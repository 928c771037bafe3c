/** A work light whose swap redoes the connector: the one in which a put-back pays. Invented. */
export const LAMP = `ruleset work_light "Work light: no light"
  version "1.0.0"
  money EUR
  bench 60 per hour
  comeback costs 400
  handover costs 900
  trust 80%

part  head      "lamp head" price 300 spare
setup connector "head connector" of head
part  battery   "battery pack" price 40 spare

complaint dark "no light when it is switched on"

fault head_dead       "head failed"         in head      odds 5
  shows output between 11 and 13 V 95%
fault connector_loose "connector not home"  in connector odds 5
fault battery_flat    "battery pack worn"   in battery   odds 1
  shows output below 9 V 95%

reading output "Voltage at the head" in V from 0 to 30 by 0.1
  normally between 11 and 13 V 90%

test meter_head "Meter the head's plug, light switched on" reads output takes 30 min power on needs "multimeter"
  caution "Hot lamp head: let it cool first."
test try_head "Fit the known-good lamp head" swaps head takes 6 min power off
  caution "Hot lamp head: let it cool first."
test try_battery "Fit the known-good battery pack" swaps battery takes 20 min power off

proof "Switch it on and shake it" times 3 takes 1 min
`

/** 80 jobs on the work light, by a fixed round of eight. */
export function cases80(): string {
  const round = [
    { steps: [["gone"], ["gone"]], fault: "connector_loose" },
    { steps: [["gone"], ["stays"]], fault: "head_dead" },
    { steps: [["gone"], ["stays"]], fault: "head_dead" },
    { steps: [["stays"]], fault: "battery_flat" },
    { steps: [["gone"], ["gone"]], fault: "connector_loose" },
    { steps: [["gone"], ["stays"]], fault: "head_dead" },
    { steps: [["gone"], ["stays"]], fault: "battery_flat" },
    { steps: [["stays"]], fault: "battery_flat" },
  ]
  return Array.from({ length: 80 }, (_, i) => {
    const { steps, fault } = round[i % 8]!
    return JSON.stringify({
      id: `W-${String(i + 1).padStart(2, "0")}`,
      date: `2026-0${1 + (i % 9)}-1${i % 10}`,
      complaint: "dark",
      told: {},
      steps: steps.map(([found], step) =>
        step === 0 ? { test: "try_head", found, minutes: 9 } : { putBack: "head", found, minutes: 8 },
      ),
      fault,
      confirmed: "soak",
      came_back: false,
    })
  }).join("\n")
}

/** The same light where a machine may have two faults, or one that nobody listed, and reseating may not cure. */
export const LAMP_HEDGED = LAMP.replace("trust 80%", "trust 80%\n  second fault 20%\n  unlisted 5%")
  .replace('"head connector" of head', '"head connector" of head redo cures 90%')
  .replace('it is switched on"', 'it is switched on" takes 0.5 min')

/** The same light with a head that comes and goes, so that a proof run may fail. */
export const LAMP_FLICKERING = LAMP.replace("trust 80%", "trust 50%")
  .replace("in head      odds 5", "in head      odds 5\n  shows dark 60%")
  .replace('it is switched on"', 'it is switched on" takes 0.5 min')

/** The hedged light with a meter that is worth its time, and a rule about what it reads. */
export const LAMP_RULED = LAMP_HEDGED.replace(
  "reads output takes 30 min",
  "reads output takes 2 min",
).replace(
  'proof "Switch',
  `when output between 11 and 13 V rule out battery_flat 97%
  because "a full voltage clears the battery"

proof "Switch`,
)
