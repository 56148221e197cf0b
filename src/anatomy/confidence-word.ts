/** From this confidence on a landmark is sure. */
export const sureFrom = 0.75

/** Confidence below which a landmark is doubtful. */
export const doubtfulBelow = 0.4

/** A confidence (0…1) in a word. */
export const confidenceWord = (confidence: number): 'sure' | 'fair' | 'doubtful' =>
  confidence >= sureFrom ? 'sure' : confidence >= doubtfulBelow ? 'fair' : 'doubtful'
