import { fail, ok, type Result } from '../failure.ts'
import { checkFamily } from './check-family.ts'
import { checkPartialFamily } from './check-partial-family.ts'
import type { TotalFamily } from './family.ts'
import { genericPartial } from './generic-partial.ts'
import { genericTotal, genericTotalMobile } from './generic-total.ts'
import type { PartialFamily } from './partial-family.ts'

export const totalFamilies: readonly TotalFamily[] = [genericTotal, genericTotalMobile]

/** A table of the case itself, edited, of either procedure. */
export type OwnFamily = TotalFamily | PartialFamily

/** What a case calls its own table. */
export const ownFamilyId = 'own'

/** A total family says how its insert moves; a partial one has no such choice. */
export const isTotalFamily = (family: OwnFamily): family is TotalFamily => 'bearing' in family

/**
 * The family with this id; `own`, a table of the case itself, comes before the built-in ones. A case that names a family of the
 * other procedure gets the first built-in one; `plan/impossible-size` when there is none or it cannot be built.
 */
export function totalFamily(id: string, own: OwnFamily | null = null): Result<TotalFamily> {
  if (own !== null && own.id === id) return isTotalFamily(own) ? checkFamily(own) : ok(totalFamilies[0]!)
  const family = totalFamilies.find((f) => f.id === id)
  if (family) return ok(family)
  if (partialFamilies.some((f) => f.id === id)) return ok(totalFamilies[0]!)
  return fail('plan/impossible-size', `There is no component family "${id}".`, {
    hint: `Known: ${totalFamilies.map((f) => f.id).join(', ')}.`,
    place: 'implants.family',
  })
}

export const partialFamilies: readonly PartialFamily[] = [genericPartial]

/** The same for partial families. */
export function partialFamily(id: string, own: OwnFamily | null = null): Result<PartialFamily> {
  if (own !== null && own.id === id) return isTotalFamily(own) ? ok(partialFamilies[0]!) : checkPartialFamily(own)
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
