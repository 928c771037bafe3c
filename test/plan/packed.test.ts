import { expect, test } from "vitest"
import { PackedList, PackedMap } from "../../compiler/plan/packed.ts"
import { seeded } from "../support/models.ts"

test("a packed map holds what a map holds, also where keys spread alike and it has grown many times", () => {
  const draw = seeded(1)
  const packed = new PackedMap()
  const plain = new Map<number, number>()
  const keys = Array.from({ length: 5000 }, (_, i) =>
    // Keys that differ in their high half alone, and in their low half alone.
    i % 2 === 0 ? draw.int(0, 2000) * 2 ** 32 + 7 : draw.int(0, 2 ** 31 - 1),
  )
  const before = packed.bytes
  const differ: number[] = []
  for (const [value, key] of keys.entries()) {
    if (packed.get(key) !== plain.get(key)) differ.push(key)
    if (plain.has(key)) continue
    packed.add(key, value)
    plain.set(key, value)
  }
  for (const [key, value] of plain) if (packed.get(key) !== value) differ.push(key)
  expect(differ).toEqual([])
  expect(packed.get(2 ** 52)).toBeUndefined()
  expect(packed.bytes).toBeGreaterThan(before)
})

test("a packed list keeps what was pushed and set as it grows", () => {
  const list = new PackedList()
  for (let i = 0; i < 3000; i++) list.push(-i)
  list.set(1500, 7)
  expect(list.size).toBe(3000)
  expect([0, 1499, 1500, 2999].map((at) => list.at(at))).toEqual([-0, -1499, 7, -2999].map((n) => n | 0))
})
