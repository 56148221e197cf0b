/** A colour in 0…255. */
export type Rgb = readonly [number, number, number]

/**
 * Sequential map, perceptually even: lightness falls steadily in OKLab (Ottosson 2020) while the hue goes from straw over
 * orange and red to violet, so that order is seen without colour vision too. `t` 0…1, clipped.
 */
export function sequentialColour(t: number): Rgb {
  const x = Math.min(1, Math.max(0, t))
  const lightness = 0.94 - 0.66 * x
  const chroma = 0.05 + 0.14 * Math.sin(Math.PI * Math.min(1, 0.15 + 0.8 * x))
  const hue = ((95 - 150 * x) * Math.PI) / 180
  return oklab(lightness, chroma * Math.cos(hue), chroma * Math.sin(hue))
}

/** Diverging map, blue to white to orange, equal steps of lightness on both sides. `t` −1…1, clipped. */
export function divergingColour(t: number): Rgb {
  const x = Math.min(1, Math.max(-1, t))
  const away = Math.abs(x)
  const hue = ((x < 0 ? 245 : 55) * Math.PI) / 180
  const chroma = 0.15 * away
  return oklab(0.97 - 0.37 * away, chroma * Math.cos(hue), chroma * Math.sin(hue))
}

export const cssColour = ([r, g, b]: Rgb): string => `rgb(${r} ${g} ${b})`

/** OKLab to sRGB; out of gamut is clipped. */
function oklab(lightness: number, a: number, b: number): Rgb {
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3
  return [
    encoded(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
    encoded(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
    encoded(-0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s),
  ]
}

function encoded(linear: number): number {
  const v = Math.min(1, Math.max(0, linear))
  return Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055))
}
