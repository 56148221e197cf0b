import { solvePositive } from '../geometry/fit-solver.ts'

/** Coefficients of c0 + c1·u + c2·v + c3·u² + c4·u·v + c5·v². */
export type Quadratic = Float64Array

/** The weighed least-squares quadratic through heights over (u, v), point by point. */
export class QuadraticFit {
  private readonly normal = new Float64Array(36)
  private readonly right = new Float64Array(6)
  private readonly row = new Float64Array(6)

  add(u: number, v: number, height: number, weight: number): void {
    const { normal, right, row } = this
    row[0] = 1
    row[1] = u
    row[2] = v
    row[3] = u * u
    row[4] = u * v
    row[5] = v * v
    for (let r = 0; r < 6; r++) {
      right[r]! += weight * row[r]! * height
      for (let c = r; c < 6; c++) normal[6 * r + c]! += weight * row[r]! * row[c]!
    }
  }

  /** Null where the points leave it undecided. */
  solve(): Quadratic | null {
    const { normal, right } = this
    for (let r = 0; r < 6; r++) for (let c = 0; c < r; c++) normal[6 * r + c] = normal[6 * c + r]!
    return solvePositive(normal, right, 6)
  }
}

export const quadraticAt = (c: Quadratic, u: number, v: number): number =>
  c[0]! + c[1]! * u + c[2]! * v + c[3]! * u * u + c[4]! * u * v + c[5]! * v * v
