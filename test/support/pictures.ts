/** The smallest files of each kind that say their type and size: 3 × 2, 2 × 3 (turned by Exif), 4 × 5, 40 × 20. */
const bytes = (hex: string) =>
  Uint8Array.from(hex.replaceAll(/\s/g, "").match(/../g)!, (pair) => Number.parseInt(pair, 16))

/** A whole PNG of one colour, as any browser shows it. */
export const PNG = bytes(`
  89504e470d0a1a0a0000000d49484452000000030000000208020000001216f14d000000104944415478da633860a000410c
  70160043940661cd490f4a0000000049454e44ae426082`)

/** Start of image, Exif with orientation 6, a frame of 3 × 2, end of image. */
export const JPEG = bytes(`
  ffd8 ffe1 0022 457869660000 4d4d002a00000008 0001 0112 0003 00000001 00060000 00000000
  ffc0 000b 08 0002 0003 01 01 11 00 ffd9`)

/** Lossy, one frame of 4 × 5. */
export const WEBP = bytes(`
  52494646 16000000 57454250 56503820 0a000000 300000 9d012a 0400 0500`)

/** Drawn by us: a plug of three pins, and the probe on the third. */
export const SVG = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">
  <title>Probe on pin 3</title>
  <defs><linearGradient id="shade"><stop offset="0" stop-color="#888"/></linearGradient></defs>
  <rect x="2" y="8" width="24" height="10" fill="url(#shade)" stroke="black"/>
  <path d="M38 1 22 12" stroke="red" stroke-width="2" fill="none"/>
</svg>`
