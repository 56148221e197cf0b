/** One timing: what a single run took, ms. */
export interface Timing {
  readonly medianMs: number
  /** Quartiles. */
  readonly lowMs: number
  readonly highMs: number
}

export interface Pair {
  readonly ours: Timing
  readonly theirs: Timing
  /** Median over interleaved pairs of their time divided by ours, and its quartiles. */
  readonly ratio: number
  readonly ratioLow: number
  readonly ratioHigh: number
  readonly pairs: number
}

let sink = 0

/** Keeps the engine from dropping work whose result nobody looks at. */
export const consumed = (): number => sink

/** Milliseconds of one run; short work is repeated until it fills a few milliseconds. */
function time(work: (round: number) => number, repeats: number, round: number): number {
  const start = performance.now()
  for (let k = 0; k < repeats; k++) sink += work(round * repeats + k)
  return (performance.now() - start) / repeats
}

const WARM_UP_MS = 300
const WARM_UP_ROUNDS = 10
const LONGEST_WARM_UP_MS = 3000
const FILL_MS = 15

/** Warms the work up until the engine has compiled it, then says how many runs fill a measurement. */
function repeatsFor(work: (round: number) => number): number {
  const start = performance.now()
  const elapsed = (): number => performance.now() - start
  let fastest = Number.POSITIVE_INFINITY
  let round = 0
  while (round < 1 || ((round < WARM_UP_ROUNDS || elapsed() < WARM_UP_MS) && elapsed() < LONGEST_WARM_UP_MS)) {
    fastest = Math.min(fastest, time(work, 1, round++))
  }
  return Math.max(1, Math.min(4096, Math.ceil(FILL_MS / Math.max(fastest, 1e-3))))
}

/**
 * Runs the two in turn, at least three times (twice where one run takes longer than the warm-up) and until `seconds` are over (at most 25 times), after warming up.
 * Ratios are taken within a pair, so that a machine that slows down for a while spoils neither side more.
 */
export function compare(ours: (round: number) => number, theirs: (round: number) => number, seconds: number): Pair {
  // A collection also throws compiled code away, so it comes before the warm-up.
  globalThis.gc?.()
  const oursRepeats = repeatsFor(ours)
  const theirsRepeats = repeatsFor(theirs)
  const a: number[] = []
  const b: number[] = []
  const until = performance.now() + 1000 * seconds
  const fewest = (): number => (Math.max(0, ...a, ...b) > LONGEST_WARM_UP_MS ? 2 : 3)
  while (a.length < 25 && (a.length < fewest() || performance.now() < until)) {
    a.push(time(ours, oursRepeats, a.length))
    b.push(time(theirs, theirsRepeats, b.length))
  }
  const ratios = a.map((x, k) => b[k]! / x)
  return {
    ours: timing(a),
    theirs: timing(b),
    ratio: quantile(ratios, 0.5),
    ratioLow: quantile(ratios, 0.25),
    ratioHigh: quantile(ratios, 0.75),
    pairs: a.length,
  }
}

const timing = (ms: readonly number[]): Timing => ({
  medianMs: quantile(ms, 0.5),
  lowMs: quantile(ms, 0.25),
  highMs: quantile(ms, 0.75),
})

export function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((x, y) => x - y)
  const at = q * (sorted.length - 1)
  const low = Math.floor(at)
  const high = Math.ceil(at)
  return sorted[low]! + (at - low) * (sorted[high]! - sorted[low]!)
}
