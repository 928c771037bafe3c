/** XML judged by libxml2; of DMN, by the OMG's schema. */
import { readFileSync } from "node:fs"
import { join } from "node:path"
import { XmlBufferInputProvider, XmlDocument, XsdValidator, xmlRegisterInputProvider } from "libxml2-wasm"
import { root } from "./parts.ts"

/** The OMG's schema files of DMN 1.5 (formal/2024-01, machine-readable files), as a general reader of DMN carries them. */
const schemas = join(root, "node_modules/@kie-tools/dmn-marshaller/src/schemas/dmn-1_5")
let validator: XsdValidator | undefined

function omgSchema(): XsdValidator {
  if (validator) return validator
  const names = ["DMN15.xsd", "DMNDI15.xsd", "DI.xsd", "DC.xsd"]
  const texts = Object.fromEntries(names.map((name) => [name, readFileSync(join(schemas, name))]))
  xmlRegisterInputProvider(new XmlBufferInputProvider(texts))
  const schema = XmlDocument.fromBuffer(texts["DMN15.xsd"]!, { url: "DMN15.xsd" })
  validator = XsdValidator.fromDoc(schema)
  return validator
}

/** @throws with libxml2's words where the text is no XML, or not valid by the OMG's schema. */
export function validateDmn(xml: string): void {
  const document = XmlDocument.fromString(xml)
  try {
    omgSchema().validate(document)
  } finally {
    document.dispose()
  }
}

/** The elements of a text of XML in document order. @throws where it is none. */
export function elementsOf(
  xml: string,
): { name: string; attributes: Record<string, string>; text: string }[] {
  const document = XmlDocument.fromString(xml)
  try {
    return document.find("//*").map((node) => {
      const element = node as typeof document.root
      return {
        name: element.name,
        attributes: Object.fromEntries(element.attrs.map(({ name, value }) => [name, value])),
        text: element.content,
      }
    })
  } finally {
    document.dispose()
  }
}
