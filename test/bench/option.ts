/** What stands after `--name=` on the command line. */
export function option(name: string): string | undefined {
  const start = `--${name}=`
  return process.argv.find((word) => word.startsWith(start))?.slice(start.length)
}
