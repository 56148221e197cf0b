interface Kept<T> {
  readonly things: readonly object[]
  readonly key: string
  readonly value: T
}

/**
 * Remembers the last few values of a pure stage: `things` (bones, anatomy) count by identity, `choices` by content.
 * Nothing is kept alive beyond the last `capacity` values.
 */
export function remembered<T>(capacity = 4): (things: readonly object[], choices: unknown, make: () => T) => T {
  let kept: readonly Kept<T>[] = []
  return (things, choices, make) => {
    const key = JSON.stringify(choices)
    const same = (entry: Kept<T>) => entry.key === key && entry.things.every((thing, i) => thing === things[i])
    const found = kept.find(same)
    const entry = found ?? { things, key, value: make() }
    kept = [entry, ...kept.filter((other) => other !== entry)].slice(0, capacity)
    return entry.value
  }
}
