import { type LandmarkId, type Landmarks, landmarkIds } from './terms.ts'

/**
 * Tells one set of landmarks from another: ids with their places to 0.1 mm, as eight hexadecimal digits (FNV-1a, 32 bits; Fowler, Noll,
 * Vo, from memory). Equal sets have equal keys whatever found them.
 */
export function landmarksKey(landmarks: Landmarks): string {
  const told = (id: LandmarkId): string => {
    const mark = landmarks[id]
    return mark ? `${id} ${mark.mm.map((c) => Math.round(10 * c)).join(' ')};` : ''
  }
  let hash = 0x811c9dc5
  for (const char of landmarkIds.map(told).join('')) hash = Math.imul(hash ^ char.charCodeAt(0), 0x01000193) >>> 0
  return hash.toString(16).padStart(8, '0')
}
