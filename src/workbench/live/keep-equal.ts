/**
 * `next` with every part that says the same as in `before` replaced by that part itself, so that what looks only at such a
 * part sees no change. For plain data as it comes from the engine; typed arrays are taken as new.
 */
export function keepEqual<T>(before: unknown, next: T): T {
  if (before === next || before === null || typeof before !== 'object' || next === null || typeof next !== 'object')
    return next
  return (Array.isArray(next) ? keptList(before, next) : keptRecord(before, next)) as T
}

function keptList(before: object, next: readonly unknown[]): readonly unknown[] {
  if (!Array.isArray(before)) return next
  let same = before.length === next.length
  const kept = next.map((value, k) => {
    const part = keepEqual(before[k], value)
    same &&= Object.is(part, before[k])
    return part
  })
  return same ? before : kept
}

function keptRecord(before: object, next: object): object {
  if (Object.getPrototypeOf(next) !== Object.prototype || Array.isArray(before)) return next
  const old = before as Record<string, unknown>
  const names = Object.keys(next)
  let same = Object.keys(before).length === names.length
  const kept: Record<string, unknown> = {}
  for (const name of names) {
    const value = (next as Record<string, unknown>)[name]
    const part = keepEqual(old[name], value)
    same &&= Object.is(part, old[name]) && name in old
    kept[name] = part
  }
  return same ? before : kept
}
