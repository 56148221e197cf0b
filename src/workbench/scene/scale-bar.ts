const lengthsMm = [1, 2, 5, 10, 20, 50, 100, 200, 500]

/** The longest round length that is at most 140 pixels. */
export function scaleBar(mmPerPixel: number): { readonly mm: number; readonly pixels: number } {
  const mm = lengthsMm.findLast((length) => length / mmPerPixel <= 140) ?? lengthsMm[0]!
  return { mm, pixels: mm / mmPerPixel }
}
