import type { CaseDocument } from '../../casefile/document.ts'
import {
  isTotalFamily,
  type OwnFamily,
  ownFamilyId,
  partialFamilies,
  partialFamily,
  totalFamilies,
  totalFamily,
} from '../../implants/families.ts'

type Choosing = Pick<CaseDocument, 'procedure' | 'implants'>

/** The family a case plans with; the first built-in one where its own cannot be built. */
export function familyInUse({ procedure, implants }: Choosing): OwnFamily {
  const builtIn = procedure === 'total' ? totalFamilies[0]! : partialFamilies[0]!
  const family =
    procedure === 'total' ? totalFamily(implants.family, implants.own) : partialFamily(implants.family, implants.own)
  return family.ok ? family.value : builtIn
}

/** Families that can be chosen for the procedure: built-in ones, and the case's own table where it has one for it. */
export function familyOptions({
  procedure,
  implants,
}: Choosing): readonly { readonly id: string; readonly name: string }[] {
  const builtIn: readonly OwnFamily[] = procedure === 'total' ? totalFamilies : partialFamilies
  const own = implants.own !== null && isTotalFamily(implants.own) === (procedure === 'total') ? [implants.own] : []
  return [
    ...builtIn.map(({ id, name }) => ({ id, name })),
    ...own.map(({ name }) => ({ id: ownFamilyId, name: `${name} (own table)` })),
  ]
}

/** What can be chosen of a family. */
export const componentOptions = (family: OwnFamily) =>
  ({
    femurSize: family.femoral.map((size) => size.size),
    tibiaSize: family.tibial.map((size) => size.size),
    insertMm: family.insertsMm,
  }) as const
