/** Share of the load in the medial compartment; outside 0…1 one condyle would lift off. */
export interface MedialShare {
  readonly share: number
  readonly liftsOff: 'medial' | 'lateral' | null
}

/**
 * Frontal-plane balance of two contact points: 0.5 + x/d, x the load's distance medial of their middle and d their
 * spacing, mm (statics; check values §6). Never clipped: above 1 the lateral, below 0 the medial condyle lifts off.
 */
export function medialShare(medialOfMiddleMm: number, spacingMm: number): MedialShare {
  const share = 0.5 + medialOfMiddleMm / spacingMm
  return { share, liftsOff: share > 1 ? 'lateral' : share < 0 ? 'medial' : null }
}
