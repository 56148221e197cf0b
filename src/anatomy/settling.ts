/**
 * Tells a search that rebuilds a frame round after round when to step half way only, and when to end. Two readings can
 * alternate for ever: once the way moved no longer shrinks, half steps look for the frame between them, and where those stall too
 * the frame is as settled as the surface lets it be.
 */
export class Settling {
  /** The next frame is to be taken half way. */
  half = false
  private readonly moved: number[] = []
  private rounds = 0

  /**
   * @param enough a frame that moved less is settled, in the unit of what `ends` is given
   * @param mostRounds ends the search whatever it does; half of them are made with whole steps at most
   * @param tremor below this a frame that no longer comes to rest quickly is settled too
   */
  constructor(
    private readonly enough: number,
    private readonly mostRounds: number,
    private readonly tremor = 0,
  ) {}

  /** Whether the search ends with this round, in which the frame moved so far. */
  ends(moved: number): boolean {
    // Where a round still moves by nearly as much as the one before, what is left is many times the last step.
    const slowly = moved > 0.4 * (this.moved[this.moved.length - 1] ?? Number.POSITIVE_INFINITY)
    if (moved < (slowly ? 0.1 : 1) * this.enough || this.rounds++ >= this.mostRounds) return true
    this.moved.push(moved)
    if (this.trembles()) return true
    if (this.stalled()) {
      if (this.half) return true
      this.half = true
      this.moved.length = 0
    }
    this.half ||= this.rounds >= this.mostRounds / 2
    return false
  }

  /**
   * Share of the way to the next frame that is to be taken: half where two readings alternate, beyond it where every round moves by the
   * same part of the one before, to where their sum leads (Aitken, Proc R Soc Edinb 1926).
   */
  step(): number {
    if (this.half) return 0.5
    const [a, b, c] = this.moved.slice(-3)
    if (a === undefined || b === undefined || c === undefined) return 1
    const ratio = c / b
    // The nearer to 1, the more an error of the ratio is multiplied.
    const alike = ratio < 0.5 ? 0.2 : 0.05
    if (!(ratio > 0.25 && ratio < 0.95 && Math.abs(b / a - ratio) < alike * ratio)) return 1
    this.moved.length = 0
    return 1 / (1 - ratio)
  }

  /** Two rounds in turn moved little, and hardly less than the one before. */
  private trembles(): boolean {
    const [a, b, c] = this.moved.slice(-3)
    return a !== undefined && b !== undefined && c !== undefined && a < this.tremor && b > 0.85 * a && c > 0.85 * b
  }

  /** Three rounds in turn moved as far as the one two before. */
  private stalled(): boolean {
    const n = this.moved.length
    if (n < 5) return false
    return [1, 2, 3].every((back) => this.moved[n - back]! > 0.97 * this.moved[n - back - 2]!)
  }
}
