/** Milliseconds of one call, the median of several, after one call that is not counted. */
export function median(work: () => unknown, times = 7): number {
  work()
  const taken = Array.from({ length: times }, () => {
    const from = performance.now()
    work()
    return performance.now() - from
  }).sort((a, b) => a - b)
  return taken[Math.floor(times / 2)]!
}

/** `12.3 ms`, `0.04 ms`: three figures. */
export function ms(value: number): string {
  return `${Number(value.toPrecision(3))} ms`
}

/** `7.5 times`: three figures. */
export function times(slow: number, fast: number): string {
  return `${Number((slow / fast).toPrecision(3))} times`
}

/** Seconds of processor so far, whatever else the machine is doing. */
export function cpuSeconds(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}
