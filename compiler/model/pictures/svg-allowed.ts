/**
 * What a drawing may have, of SVG 2 and Filter Effects 1: what is drawn, and nothing that runs, moves, links or loads.
 * What isn't listed is left out.
 */
const words = (...lists: readonly string[]): ReadonlySet<string> =>
  new Set(lists.flatMap((list) => list.split(" ")))

export const ELEMENTS = words(
  "svg g defs symbol use switch title desc style image",
  "path rect circle ellipse line polyline polygon text tspan textPath",
  "marker linearGradient radialGradient stop pattern clipPath mask filter",
  "feBlend feColorMatrix feComponentTransfer feComposite feConvolveMatrix feDiffuseLighting feDisplacementMap",
  "feDistantLight feDropShadow feFlood feFuncA feFuncB feFuncG feFuncR feGaussianBlur feMerge feMergeNode",
  "feMorphology feOffset fePointLight feSpecularLighting feSpotLight feTile feTurbulence",
)

/** Elements in which characters count; elsewhere they are white space between elements. */
export const WITH_TEXT = words("title desc style text tspan textPath")

/** Attributes whose values are names and numbers: nothing in them can refer to anything. */
export const PLAIN_ATTRIBUTES = words(
  "id class lang xml:lang xml:space",
  "d points x y z x1 y1 x2 y2 cx cy r rx ry fx fy fr dx dy width height viewBox preserveAspectRatio",
  "pathLength offset rotate textLength lengthAdjust startOffset method spacing side",
  "markerWidth markerHeight markerUnits refX refY orient gradientUnits spreadMethod patternUnits patternContentUnits",
  "clipPathUnits maskUnits maskContentUnits filterUnits primitiveUnits",
  "in in2 result mode operator k1 k2 k3 k4 type values tableValues slope intercept amplitude exponent",
  "stdDeviation edgeMode radius scale xChannelSelector yChannelSelector baseFrequency numOctaves seed stitchTiles",
  "order kernelMatrix divisor bias targetX targetY preserveAlpha surfaceScale diffuseConstant specularConstant",
  "specularExponent kernelUnitLength azimuth elevation pointsAtX pointsAtY pointsAtZ limitingConeAngle",
)

/** Attributes whose values are read as CSS, and may refer to another part of the drawing. */
export const STYLE_ATTRIBUTES = words(
  "style transform gradientTransform patternTransform transform-origin",
  "fill fill-opacity fill-rule stroke stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin",
  "stroke-miterlimit stroke-opacity stroke-width color opacity display visibility overflow clip clip-path clip-rule",
  "mask mask-type filter flood-color flood-opacity lighting-color stop-color stop-opacity",
  "color-interpolation color-interpolation-filters color-rendering shape-rendering text-rendering image-rendering",
  "marker marker-start marker-mid marker-end paint-order vector-effect isolation mix-blend-mode",
  "font font-family font-size font-size-adjust font-stretch font-style font-variant font-weight",
  "letter-spacing word-spacing text-anchor text-decoration dominant-baseline alignment-baseline baseline-shift",
  "direction unicode-bidi writing-mode white-space",
)

/** Functions of CSS that take numbers, colours and parts of the drawing; `url` is looked at by itself. */
export const FUNCTIONS = words(
  "url rgb rgba hsl hsla calc var matrix translate translateX translateY scale scaleX scaleY rotate skewX skewY",
  "blur brightness contrast drop-shadow grayscale hue-rotate invert opacity saturate sepia",
)
