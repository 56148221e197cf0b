import type { Viewpoint } from './camera-way.ts'

/** Longer ago than this nobody remembers. */
const mostSteps = 50

/** The camera's own back and forward: looking is not undone with the case. */
export class CameraSteps {
  private past: Viewpoint[] = []
  private future: Viewpoint[] = []
  onChange: ((counts: { readonly back: number; readonly forward: number }) => void) | null = null

  /** A place that is being left; the same place twice in a row is one step. */
  leave(from: Viewpoint): void {
    const last = this.past.at(-1)
    if (last && sameView(last, from)) return
    this.past = [...this.past, from].slice(-mostSteps)
    this.future = []
    this.tell()
  }

  /** Where the step leads from here, or null. A place that was left without moving is passed over. */
  take(way: 'back' | 'forward', from: Viewpoint): Viewpoint | null {
    const [of, onto] = way === 'back' ? [this.past, this.future] : [this.future, this.past]
    let to = of.pop()
    while (to && sameView(to, from)) to = of.pop()
    if (to) onto.push(from)
    this.tell()
    return to ?? null
  }

  /** Another scene: what was seen of the old one is void. */
  forget(): void {
    this.past = []
    this.future = []
    this.tell()
  }

  private tell(): void {
    this.onChange?.({ back: this.past.length, forward: this.future.length })
  }
}

const sameView = (a: Viewpoint, b: Viewpoint): boolean =>
  a.target.distanceTo(b.target) < 1e-3 &&
  a.direction.distanceTo(b.direction) < 1e-4 &&
  Math.abs(a.visibleHeight / b.visibleHeight - 1) < 1e-4
