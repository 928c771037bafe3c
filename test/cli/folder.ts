import { afterAll } from "vitest"
import { openFolder } from "./run.ts"

afterAll(openFolder())
