/** The exports: pure functions from a compiled graph, checked by the runner's `open`, to text. */
export { inLanguage, languageFor, languagesOf } from "../graph/in-language.ts"
export { writeDmn } from "./dmn.ts"
export { writeDot } from "./dot.ts"
export { writeJsonSchema } from "./jsonschema.ts"
export { writeMarkdown } from "./markdown.ts"
export { writeMermaid } from "./mermaid.ts"
export { type ModuleParts, writeModule, writeModuleTypes } from "./module.ts"
export { type PageParts, writePage } from "./page.ts"
export { type PictureBytes, picturePath } from "./pictures.ts"
export { writePython } from "./python.ts"
export { pemOf, publicKeyOf, seal } from "./seal.ts"
export { ShipError } from "./ship-error.ts"
export { writeSql } from "./sql.ts"
export { writeSvg } from "./svg.ts"
export {
  type PartName,
  type Target,
  type TargetFile,
  type TargetName,
  targets,
  type WriteOptions,
} from "./targets.ts"
export { KeyError, RELEASE, type Verified, VerifyError, type VerifyOptions, verify } from "./verify.ts"
export { isOlder } from "./version-order.ts"
