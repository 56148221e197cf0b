/**
 * A zero of a continuous function between `low` and `high`, where it changes sign (Illinois variant of false position;
 * Dowell and Jarratt, BIT 1971). null when the signs are equal or a value is not finite.
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance: number): number | null {
  let a = low
  let b = high
  let fa = f(a)
  let fb = f(b)
  if (!(Number.isFinite(fa) && Number.isFinite(fb)) || fa * fb > 0) return null
  if (fa === 0) return a
  for (let i = 0; i < 200; i++) {
    if (fb === 0 || Math.abs(b - a) <= tolerance) return b
    // Plain halving every fifth step keeps kinks of a support function from stalling the secant.
    const x = i % 5 === 4 ? (a + b) / 2 : b - (fb * (b - a)) / (fb - fa)
    const fx = f(x)
    if (!Number.isFinite(fx)) return null
    if (fx * fb < 0) {
      a = b
      fa = fb
    } else {
      fa /= 2
    }
    b = x
    fb = fx
  }
  return b
}
