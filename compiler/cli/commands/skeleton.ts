/** What a new ruleset begins with. */
import { textOf } from "../../syntax/format/atoms.ts"

export interface NewRuleset {
  readonly name: string
  readonly title: string
  readonly complaint: string
  /** ISO 4217. */
  readonly money: string
  /** Money per hour. */
  readonly bench: string
}

/** A small whole ruleset in the standard layout, of which the analysis has nothing to say. Its machine is made up. */
export function skeleton({ name, title, complaint, money, bench }: NewRuleset): string {
  return `# Begun by \`ruleout new\`. The machine below is made up: replace it by yours, part by part, and let
# \`ruleout check\` tell you what is missing. \`ruleout help language\` has every word.

ruleset ${name} ${textOf({ value: title })}
  version "0.1.0"
  money ${money}
  bench ${bench} per hour
  # What a machine costs that comes back, and one that somebody else takes.
  comeback costs 120
  handover costs 240
  # A job is closed when nothing is wrong any more with this chance.
  trust 95%
  # How often two things are wrong, and how often something that isn't listed here.
  second fault 5%
  unlisted 5%

# Parts are what is bought. A setup is a state of the machine that is done again: a plug in its socket, a setting.
part main_board "main board"  price 120  spare
  fit takes 15 min
part mains_lead "mains lead"  price 12
  fit takes 2 min
setup lead_plug "plug of the lead at the board"  of mains_lead  redo cures 80%

complaint main_complaint ${textOf({ value: complaint })}  takes 2 min

# What can be wrong. Odds say how often, one fault against the other; \`shows\` what it looks like.
fault board_dead "main board failed"  in main_board  odds 2
fault lead_open  "mains lead broken"  in mains_lead  odds 1
  shows lamp_lit is no 95%
fault plug_loose "plug not home"      in lead_plug   odds 6
  shows lamp_lit is no 90%
  fix takes 10 min

reading lamp_lit "Is its lamp lit?"  yes or no
  normally is yes 98%

# What can be done, with what it takes and what can hurt somebody.
test look_lamp   "Switch it on and look at its lamp"  reads lamp_lit    takes 1 min
test reseat_plug "Push the plug home"                 redoes lead_plug  takes 2 min   power off
  caution "Unplug it from the mains first."
test try_board   "Fit the known-good board"           swaps main_board  takes 15 min  power off
  caution "Unplug it from the mains first. Local codes and licences come before this page."

when lamp_lit is yes  rule out lead_open 95%
  because "a lit lamp needs the lead"

# What the machine must pass before it goes back.
proof "Switch it on cold"  times 3  takes 2 min

# What you expect; \`ruleout test\` plays it.
scenario "The lamp is lit"
  expects next reseat_plug
  finds lamp_lit is yes
  expects lead_open at most 2%
`
}

/** A workflow for GitHub that checks and tests the rulesets of a folder in each change. */
export function workflow(folder: string): string {
  return `name: rulesets
on: [pull_request]
jobs:
  review:
    runs-on: ubuntu-latest
    steps:
      - uses: actions/checkout@v4
      - uses: actions/setup-node@v4
        with:
          node-version: 22
      - run: npm install --global ruleout
      - run: ruleout check ${folder}/*.ruleout --format github
      - run: ruleout test ${folder}/*.ruleout --format github
        if: \${{ !cancelled() }}
`
}
