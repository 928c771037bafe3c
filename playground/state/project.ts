/** The source files of one ruleset by path, `root` the one with the `ruleset` declaration. */
export interface Project {
  readonly root: string
  readonly files: Readonly<Record<string, string>>
  /** By path. */
  readonly pictures?: Readonly<Record<string, Uint8Array>>
  /** It came without its pictures, which a link can't hold: what isn't there is no mistake. */
  readonly lacksPictures?: boolean
}

export function pathsOfPictures({ pictures }: Project): string[] {
  return Object.keys(pictures ?? {})
}
