import { type Dirent, readdirSync } from "node:fs"
import { dirname, join } from "node:path"
import { load } from "../../model/load.ts"
import { PICTURE_ENDINGS } from "../../model/pictures/check-picture.ts"
import { pictureReader, readUsed } from "../io/compile-file.ts"
import { LARGEST_SOURCE, readText, withSlashes } from "../io/files.ts"
import { Project, type Readers } from "./project.ts"

/** Entries of the folders of a workspace that are looked at, to find the rulesets that use a file. */
const MOST_ENTRIES = 20_000

/**
 * The rulesets of a workspace, each with the files that it uses. A file belongs to every ruleset that uses it; questions
 * about it are answered by the one that was looked at last.
 */
export class Projects {
  readonly #open = new Map<string, string>()
  /** The one looked at last stands first. */
  #projects: Project[] = []
  #folders: readonly string[] = []
  /** Rulesets in the folders, found when they are first asked for. */
  #found: readonly string[] | undefined

  get all(): readonly Project[] {
    return this.#projects
  }

  /** Files that were of no ruleset may be of one in these. */
  setFolders(folders: readonly string[]): void {
    this.#folders = folders
    this.#found = undefined
    for (const { root } of this.#drop(({ isLone }) => isLone)) this.#bringInUsers(root)
  }

  /** A file is opened in the editor. */
  open(file: string, text: string): void {
    this.#open.set(file, text)
    for (const project of this.#with(file)) project.change(file, text)
    if (hasRuleset(text)) this.#bringIn(file)
    else if (this.#with(file).length === 0) this.#bringInUsers(file)
  }

  change(file: string, text: string): void {
    const before = this.#open.get(file)
    if (before === text) return
    this.#open.set(file, text)
    for (const project of this.#with(file)) project.change(file, text)
    if (before === undefined || hasRuleset(before) !== hasRuleset(text)) {
      this.#drop((project) => project.root === file)
      this.open(file, text)
    }
  }

  /** A file is closed: projects of which no file is open any more are dropped, and given back. */
  close(file: string): readonly Project[] {
    this.#open.delete(file)
    return this.#drop((project) => !project.files.some((each) => this.#open.has(each)))
  }

  /** Files have changed on the disk. */
  refresh(): void {
    this.#found = undefined
    for (const project of this.#projects) project.reload()
  }

  of(file: string): Project | undefined {
    const [first] = this.#with(file)
    if (first && first !== this.#projects[0])
      this.#projects = [first, ...this.#projects.filter((each) => each !== first)]
    return first
  }

  #with(file: string): Project[] {
    return this.#projects.filter((project) => project.has(file))
  }

  #bringIn(root: string, isLone = false): void {
    if (!this.#isIn(root)) this.#add(new Project(root, this.#readers(root), isLone))
  }

  /** The rulesets that use a file; else the file by itself. */
  #bringInUsers(file: string): void {
    this.#found ??= this.#folders.flatMap(rulesetFiles)
    for (const root of this.#found) {
      // What is brought in already doesn't use the file, else nobody would ask.
      if (root === file || this.#isIn(root)) continue
      const read = this.#readers(root).text
      const text = read(root)
      if (text !== undefined && hasRuleset(text) && load(root, read).sources.has(file)) this.#bringIn(root)
    }
    if (this.#with(file).length === 0) this.#bringIn(file, true)
  }

  #isIn(root: string): boolean {
    return this.#projects.some((project) => project.root === root)
  }

  /** A file that stood by itself belongs to the ruleset that uses it. */
  #add(project: Project): void {
    this.#drop(({ isLone, root }) => isLone && project.has(root))
    this.#projects.unshift(project)
  }

  #readers(root: string): Readers {
    const fromDisk = (file: string) => (file === root ? readText(root, LARGEST_SOURCE) : readUsed(file, root))
    const picture = pictureReader(root)
    return {
      text: (file) => ifReadable(() => this.#open.get(file) ?? fromDisk(file)),
      picture: (path) => ifReadable(() => picture(path)),
      pictures: () => filesIn(dirname(root), PICTURE_ENDINGS),
    }
  }

  #drop(isGone: (project: Project) => boolean): Project[] {
    const gone = this.#projects.filter(isGone)
    this.#projects = this.#projects.filter((project) => !gone.includes(project))
    return gone
  }
}

/** What can't be read is reported where it is used. */
function ifReadable<T>(read: () => T | undefined): T | undefined {
  try {
    return read()
  } catch {
    return undefined
  }
}

function hasRuleset(text: string): boolean {
  return /^[ \t]*ruleset\b/m.test(text)
}

function rulesetFiles(top: string): string[] {
  return filesIn(top, ["ruleout"])
}

/** By how they end, in a folder and those below it. */
function filesIn(top: string, endings: readonly string[]): string[] {
  const isWanted = (name: string) => endings.some((ending) => name.toLowerCase().endsWith(`.${ending}`))
  const files: string[] = []
  const folders = [top]
  let seen = 0
  for (let folder = folders.pop(); folder !== undefined && seen < MOST_ENTRIES; folder = folders.pop())
    for (const entry of entriesOf(folder)) {
      seen++
      const path = join(folder, entry.name)
      if (entry.isFile() && isWanted(entry.name)) files.push(withSlashes(path))
      if (entry.isDirectory() && !/^\.|^node_modules$/.test(entry.name)) folders.push(path)
    }
  return files
}

function entriesOf(folder: string): Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
  } catch {
    // A folder that can't be read has nothing to offer.
    return []
  }
}
