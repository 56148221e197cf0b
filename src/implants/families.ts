import { fail, ok, type Result } from '../failure.ts'
import { checkFamily } from './check-family.ts'
import type { TotalFamily } from './family.ts'
import { genericPartial } from './generic-partial.ts'
import { genericTotal, genericTotalMobile } from './generic-total.ts'
import type { PartialFamily } from './partial-family.ts'

export const totalFamilies: readonly TotalFamily[] = [genericTotal, genericTotalMobile]

/** The family with this id (a case that still names a partial family gets the first one); `own`, a table of the case itself, comes before the built-in ones; `plan/impossible-size` when there is none or it cannot be built. */
export function totalFamily(id: string, own: TotalFamily | null = null): Result<TotalFamily> {
  if (own !== null && own.id === id) return checkFamily(own)
  const family = totalFamilies.find((f) => f.id === id)
  if (family) return ok(family)
  if (partialFamilies.some((f) => f.id === id)) return ok(totalFamilies[0]!)
  return fail('plan/impossible-size', `There is no component family "${id}".`, {
    hint: `Known: ${totalFamilies.map((f) => f.id).join(', ')}.`,
    place: 'implants.family',
  })
}

export const partialFamilies: readonly PartialFamily[] = [genericPartial]

/** The partial family with this id; a case that still names a total family gets the first one. */
export function partialFamily(id: string): Result<PartialFamily> {
  const family = partialFamilies.find((f) => f.id === id)
  if (family) return ok(family)
  if (totalFamilies.some((f) => f.id === id)) return ok(partialFamilies[0]!)
  return fail('plan/impossible-size', `There is no component family "${id}".`, {
    hint: `Known: ${partialFamilies.map((f) => f.id).join(', ')}.`,
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
