/** The source files of one ruleset by path, `root` the one with the `ruleset` declaration. */
export interface Project {
  readonly root: string
  readonly files: Readonly<Record<string, string>>
}
