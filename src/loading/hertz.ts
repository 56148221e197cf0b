/** Elastic half-spaces that touch (Hertz 1882; formulas as in Johnson, Contact Mechanics, 1985). N, mm, MPa. */
export interface PointContact {
  /** Radius of the contact circle. */
  readonly radiusMm: number
  readonly peakMpa: number
  readonly approachMm: number
}

/** E* of two bodies: 1/E* = Σ (1 − ν²)/E; a rigid body has an infinite modulus. */
export function effectiveModulus(bodies: readonly { readonly modulusMpa: number; readonly poisson: number }[]): number {
  return 1 / bodies.reduce((sum, { modulusMpa, poisson }) => sum + (1 - poisson * poisson) / modulusMpa, 0)
}

/** 1/R = 1/R1 + 1/R2; a flat has an infinite radius, a hollow a negative one. */
export const effectiveRadius = (a: number, b: number): number => 1 / (1 / a + 1 / b)

/** Two spheres, or a sphere on a flat. */
export function pointContact(forceN: number, radiusMm: number, modulusMpa: number): PointContact {
  const a = ((3 * forceN * radiusMm) / (4 * modulusMpa)) ** (1 / 3)
  return { radiusMm: a, peakMpa: (3 * forceN) / (2 * Math.PI * a * a), approachMm: (a * a) / radiusMm }
}

/** Two parallel cylinders, or a cylinder on a flat: half width and peak for a force per length, N/mm. */
export function lineContact(
  forcePerMm: number,
  radiusMm: number,
  modulusMpa: number,
): { halfWidthMm: number; peakMpa: number } {
  return {
    halfWidthMm: Math.sqrt((4 * forcePerMm * radiusMm) / (Math.PI * modulusMpa)),
    peakMpa: Math.sqrt((forcePerMm * modulusMpa) / (Math.PI * radiusMm)),
  }
}
