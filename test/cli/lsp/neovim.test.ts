import { spawnSync } from "node:child_process"
import { join } from "node:path"
import { expect, test } from "vitest"
import { neovim } from "../../support/neovim.ts"
import { main, openFolder } from "../run.ts"

const lamp = `ruleset lamp "Lamp: dead" version "1.0.0" money EUR bench 60 per hour
part board "driver board" price 100 spare
setup seat "board seating" of bord
complaint dead "the lamp stays dark"
fault board_dead "board failed" in board odds 1
fault seat_loose "board not home" in seat odds 3
reading rail "Rail at the board" in V from 0 to 12 by 0.1
test meter "Meter the rail" reads rail takes 2 min
test try_board "Fit the known-good board" swaps board takes 10 min
test reseat "Push the board home" redoes seat takes 2 min
`

test("Neovim's own client is told problems, fixes one, looks names up, renames, completes, formats and saves", () => {
  const { folder, read, put } = openFolder()
  put("lamp.ruleout", lamp)
  const script = join(import.meta.dirname, "neovim.lua")
  const ran = spawnSync(neovim(), ["--headless", "--clean", "-n", "-c", `luafile ${script}`], {
    env: { ...process.env, NODE: process.execPath, MAIN: main, FOLDER: folder, XDG_STATE_HOME: folder },
    encoding: "utf8",
    timeout: 120_000,
  })
  const json = /\{.*\}/.exec(ran.stdout)
  expect(json, `${ran.stdout}${ran.stderr}`).not.toBeNull()
  const { problems, hover, symbols, ...done } = JSON.parse(json![0])
  expect(done).toEqual({
    fixes: ["Write `board`", "Declare the part `bord`"],
    definition: 'part board "driver board" price 100 spare',
    offered: expect.arrayContaining(["rail", "not"]),
  })
  expect(problems).toContainEqual(expect.stringMatching(/^No part is called `bord`\./))
  expect(hover).toMatch(/^\*\*driver board\*\*/)
  expect(symbols).toEqual(
    "lamp driver seat dead board_dead seat_loose rail meter try_board reseat".split(" "),
  )
  const saved = read("lamp.ruleout")
  expect(saved).toContain('\nsetup seat "board seating"  of driver\n')
  expect(saved).toContain('ruleset lamp "Lamp: dead"\n  version "1.0.0"\n')
})
