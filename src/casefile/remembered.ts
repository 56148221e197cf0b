interface Kept<T> {
  readonly things: readonly object[]
  readonly key: string
  readonly value: T
}

interface Remembered<T> {
  (things: readonly object[], choices: unknown, make: () => T): T
  /** Whether it would not be made anew. */
  readonly knows: (things: readonly object[], choices: unknown) => boolean
}

/**
 * Remembers the last few values of a pure stage: `things` (bones, anatomy) count by identity, `choices` by content.
 * Nothing is kept alive beyond the last `capacity` values.
 */
export function remembered<T>(capacity = 4): Remembered<T> {
  let kept: readonly Kept<T>[] = []
  const recall = (things: readonly object[], choices: unknown, make: () => T): T => {
    const key = JSON.stringify(choices)
    const same = (entry: Kept<T>) => entry.key === key && sameThings(entry.things, things)
    const found = kept.find(same)
    const entry = found ?? { things, key, value: make() }
    kept = [entry, ...kept.filter((other) => other !== entry)].slice(0, capacity)
    return entry.value
  }
  const knows = (things: readonly object[], choices: unknown): boolean => {
    const key = JSON.stringify(choices)
    return kept.some((entry) => entry.key === key && sameThings(entry.things, things))
  }
  return Object.assign(recall, { knows })
}

const sameThings = (a: readonly object[], b: readonly object[]): boolean =>
  a.length === b.length && a.every((thing, i) => thing === b[i])
