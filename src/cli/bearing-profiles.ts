import { basename } from 'node:path'
import { boneFromBytes } from '../casefile/bone-from-bytes.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { ok, type Result } from '../failure.ts'
import { profilesFromMesh } from '../loading/profile-from-mesh.ts'
import { type ProfilePair, parseProfile } from '../studies/profile-table.ts'
import { readBytes } from './files.ts'

/** Files with bearing surfaces of the user's own. */
export interface ProfileOptions {
  readonly condyleProfile?: string
  readonly dishProfile?: string
}

/** The case with the surfaces of those files in it: a CSV table, or an STL or PLY mesh in mm that is cut in its two directions. */
export function withProfiles(document: CaseDocument, options: ProfileOptions): Result<CaseDocument> {
  const condyle = pairOf(options.condyleProfile, 'condyle')
  if (!condyle.ok) return condyle
  const dish = pairOf(options.dishProfile, 'dish')
  if (!dish.ok) return dish
  const { own } = document.bearing
  return ok({
    ...document,
    bearing: {
      ...document.bearing,
      own: {
        femoralCoronal: condyle.value?.coronal ?? own.femoralCoronal,
        femoralSagittal: condyle.value?.sagittal ?? own.femoralSagittal,
        insertCoronal: dish.value?.coronal ?? own.insertCoronal,
        insertSagittal: dish.value?.sagittal ?? own.insertSagittal,
      },
    },
  })
}

function pairOf(path: string | undefined, part: 'condyle' | 'dish'): Result<ProfilePair | null> {
  if (path === undefined) return ok(null)
  const bytes = readBytes(path)
  if (!bytes.ok) return bytes
  if (!/\.(stl|ply)$/i.test(path)) return parseProfile(new TextDecoder().decode(bytes.value))
  const surface = boneFromBytes(bytes.value, basename(path), 1)
  return surface.ok ? profilesFromMesh(surface.value.bone, part) : surface
}
