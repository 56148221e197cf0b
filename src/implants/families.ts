import { fail, ok, type Result } from '../failure.ts'
import type { TotalFamily } from './family.ts'
import { genericTotal } from './generic-total.ts'

export const totalFamilies: readonly TotalFamily[] = [genericTotal]

/** The family with this id; `plan/impossible-size` when there is none. */
export function totalFamily(id: string): Result<TotalFamily> {
  const family = totalFamilies.find((f) => f.id === id)
  if (family) return ok(family)
  return fail('plan/impossible-size', `There is no component family "${id}".`, {
    hint: `Known: ${totalFamilies.map((f) => f.id).join(', ')}.`,
    place: 'implants.family',
  })
}

/** One size of a list; `plan/impossible-size` when it is not there. */
export function sizeOf<S extends { readonly size: number }>(
  sizes: readonly S[],
  size: number,
  place: string,
): Result<S> {
  const found = sizes.find((s) => s.size === size)
  if (found) return ok(found)
  return fail('plan/impossible-size', `There is no size ${size}.`, {
    hint: `Sizes run from ${sizes[0]?.size} to ${sizes.at(-1)?.size}.`,
    place,
  })
}
