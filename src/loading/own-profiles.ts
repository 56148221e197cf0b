import { fail, ok, type Result } from '../failure.ts'
import type { Assumption } from '../planning/planned.ts'
import type { Profile } from './profile.ts'

/** Points of a surface along one direction: from the middle of the condyle or dish, and the height there, mm. */
export type ProfileTable = readonly (readonly [atMm: number, heightMm: number])[]

/**
 * Surfaces that the case brings itself; null: arcs. Across, at counts lateral; along, anterior. Heights count up from
 * any level: only their differences matter. The surface ends with its table.
 */
export interface OwnProfiles {
  readonly femoralCoronal: ProfileTable | null
  readonly femoralSagittal: ProfileTable | null
  readonly insertCoronal: ProfileTable | null
  readonly insertSagittal: ProfileTable | null
}

export const noOwnProfiles: OwnProfiles = {
  femoralCoronal: null,
  femoralSagittal: null,
  insertCoronal: null,
  insertSagittal: null,
}

/** More points than a section of a component needs. */
export const mostProfilePoints = 2000

/** The table when it can be walked: three points or more, places strictly rising and on both sides of 0, all numbers finite. */
export function checkedTable(table: ProfileTable, place: string): Result<ProfileTable> {
  const wrong = (message: string) => fail('case/out-of-range', message, { place })
  if (table.length < 3 || table.length > mostProfilePoints)
    return wrong(`A profile has between 3 and ${mostProfilePoints} points; this one has ${table.length}.`)
  if (!table.flat().every(Number.isFinite)) return wrong('A point of the profile is no number.')
  if (table.some(([at], k) => k > 0 && at <= table[k - 1]![0]))
    return wrong('The places of a profile must rise from point to point.')
  if (!(table[0]![0] < 0 && table.at(-1)![0] > 0))
    return wrong('A profile must reach to both sides of its middle, which is at 0.')
  return ok(table)
}

/** The profile of a table with its lowest point at height 0. */
export function tableProfile(table: ProfileTable): Profile {
  const lowest = table.reduce((least, [, height]) => Math.min(least, height), Number.POSITIVE_INFINITY)
  return { kind: 'table', points: table.map(([at, height]) => [at, height - lowest] as const) }
}

/** One line per surface that the case brings itself. */
export function ownProfileAssumptions(own: OwnProfiles): Assumption[] {
  const names = {
    femoralCoronal: 'condyle across',
    femoralSagittal: 'condyle along',
    insertCoronal: 'dish across',
    insertSagittal: 'dish along',
  } as const
  return (Object.keys(names) as (keyof OwnProfiles)[]).flatMap((key) => {
    const table = own[key]
    if (table === null) return []
    const [from, to] = [table[0]?.[0] ?? 0, table.at(-1)?.[0] ?? 0]
    return [
      {
        what: `own profile, ${names[key]}`,
        value: `${table.length} points from ${from} to ${to} mm, straight between them`,
        basis: 'entered in the case; the same on both sides and at every flexion; the surface ends with its table',
      },
    ]
  })
}
