import type { IImage } from "image-size/types/interface"
import { JPG } from "image-size/types/jpg"
import { PNG } from "image-size/types/png"
import { WEBP } from "image-size/types/webp"

export interface Raster {
  readonly type: "image/png" | "image/jpeg" | "image/webp"
  readonly width: number
  readonly height: number
}

const KINDS: Readonly<Record<Raster["type"], IImage>> = {
  "image/png": PNG,
  "image/jpeg": JPG,
  "image/webp": WEBP,
}

/** From this turn of a JPEG on, by its Exif data, width and height are the other way round when it is shown. */
const TURNED = 5

/** What picture it is by its first bytes, and its size in pixels as shown; undefined for anything else. */
export function rasterOf(bytes: Uint8Array): Raster | undefined {
  for (const [type, kind] of Object.entries(KINDS) as [Raster["type"], IImage][]) {
    try {
      if (!kind.validate(bytes)) continue
      const { width, height, orientation = 1 } = kind.calculate(bytes)
      if (!(width > 0 && height > 0)) return undefined
      return orientation < TURNED ? { type, width, height } : { type, width: height, height: width }
    } catch {
      return undefined
    }
  }
  return undefined
}
