import { boneFromBytes } from '../../casefile/bone-from-bytes.ts'
import type { Result } from '../../failure.ts'
import { profilesFromMesh } from '../../loading/profile-from-mesh.ts'
import { type ProfilePair, parseProfile } from '../../studies/profile-table.ts'
import type { JobInput } from '../contract.ts'

/** Reads a bearing surface of the user's own: a table, or a mesh of one condyle or dish in tray axes, mm. */
export async function readProfile({ file, name, part }: JobInput<'read-profile'>): Promise<Result<ProfilePair>> {
  const bytes = new Uint8Array(await file.arrayBuffer())
  if (!/\.(stl|ply)$/i.test(name)) return parseProfile(new TextDecoder().decode(bytes))
  const surface = boneFromBytes(bytes, name, 1)
  return surface.ok ? profilesFromMesh(surface.value.bone, part) : surface
}
