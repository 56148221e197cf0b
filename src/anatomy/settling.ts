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
    if (moved < this.enough || this.rounds++ >= this.mostRounds) return true
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
