/** One linearisation of a least-squares problem: residuals r (m) and Jacobian J (m × n, row-major). */
export interface Linearised {
  readonly residuals: Float64Array
  readonly jacobian: Float64Array
}

/**
 * Minimises Σ r² over a state by damped Gauss–Newton (Levenberg, Quart Appl Math 1944; Marquardt, SIAM J 1963).
 * `linearise` gives residuals and their derivatives by n local parameters at a state; `move` applies a step of
 * those n parameters. The damping vanishes near the solution, so the finish is pure Gauss–Newton. A problem whose
 * normal matrix is singular keeps its last state.
 */
export function leastSquares<State>(
  start: State,
  n: number,
  linearise: (state: State) => Linearised,
  move: (state: State, step: Float64Array) => State,
): { readonly state: State; readonly sumSquares: number; readonly converged: boolean } {
  let state = start
  let at = linearise(state)
  let cost = sumOfSquares(at.residuals)
  let damping = 1e-3
  for (let iteration = 0; iteration < 200; iteration++) {
    const { normal, gradient } = normalEquations(at, n)
    const step = solveDamped(normal, gradient, n, damping)
    if (step === null) {
      damping = Math.max(damping * 10, 1e-9)
      if (damping > 1e12) return { state, sumSquares: cost, converged: false }
      continue
    }
    const small = Math.sqrt(sumOfSquares(step)) < 1e-13
    const next = move(state, step)
    const nextAt = linearise(next)
    const nextCost = sumOfSquares(nextAt.residuals)
    // Near the floor the cost is flat to rounding while the step still improves the state: accept equal costs.
    if (nextCost <= cost * (1 + 4e-16) + 1e-300) {
      state = next
      at = nextAt
      cost = Math.min(cost, nextCost)
      damping = damping < 1e-12 ? 0 : damping / 30
      if (small) return { state, sumSquares: nextCost, converged: true }
    } else {
      if (small || damping > 1e12) return { state, sumSquares: cost, converged: true }
      damping = Math.max(damping * 10, 1e-9)
    }
  }
  return { state, sumSquares: cost, converged: true }
}

export function sumOfSquares(values: Float64Array): number {
  let s = 0
  for (let i = 0; i < values.length; i++) s += values[i]! * values[i]!
  return s
}

function normalEquations(at: Linearised, n: number): { normal: Float64Array; gradient: Float64Array } {
  const normal = new Float64Array(n * n)
  const gradient = new Float64Array(n)
  const { residuals, jacobian } = at
  for (let i = 0; i < residuals.length; i++) {
    const row = i * n
    for (let a = 0; a < n; a++) {
      const ja = jacobian[row + a]!
      gradient[a]! += ja * residuals[i]!
      for (let b = 0; b <= a; b++) normal[a * n + b]! += ja * jacobian[row + b]!
    }
  }
  for (let a = 0; a < n; a++) for (let b = 0; b < a; b++) normal[b * n + a] = normal[a * n + b]!
  return { normal, gradient }
}

function solveDamped(normal: Float64Array, gradient: Float64Array, n: number, damping: number): Float64Array | null {
  const damped = normal.slice()
  for (let a = 0; a < n; a++) damped[a * n + a]! *= 1 + damping
  const right = gradient.map((g) => -g)
  return solvePositive(damped, right, n)
}

/** Solves A x = b for a symmetric positive definite A (n × n) by Cholesky; null when A is not. */
export function solvePositive(a: Float64Array, b: Float64Array, n: number): Float64Array | null {
  const l = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let s = a[i * n + j]!
      for (let k = 0; k < j; k++) s -= l[i * n + k]! * l[j * n + k]!
      if (i === j) {
        if (!(s > 1e-14 * Math.abs(a[i * n + i]!)) || !(s > 0)) return null
        l[i * n + i] = Math.sqrt(s)
      } else l[i * n + j] = s / l[j * n + j]!
    }
  }
  const x = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let s = b[i]!
    for (let k = 0; k < i; k++) s -= l[i * n + k]! * x[k]!
    x[i] = s / l[i * n + i]!
  }
  for (let i = n - 1; i >= 0; i--) {
    let s = x[i]!
    for (let k = i + 1; k < n; k++) s -= l[k * n + i]! * x[k]!
    x[i] = s / l[i * n + i]!
  }
  return x
}
