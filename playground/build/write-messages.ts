/** `npm run messages`: writes what is compiled from the catalogues in `compiler/wording/messages/`. */
import { writeFileSync } from "node:fs"
import { compiledMessages } from "./compiled-messages.ts"

for (const [file, text] of compiledMessages()) writeFileSync(file, text)
