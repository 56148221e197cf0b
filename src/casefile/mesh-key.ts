import type { MeshReference } from './document.ts'

/**
 * What tells one bone from another while a case is open: the file's hash, and how it was read and repaired. Equal
 * references have equal keys; two references with one key give the same mesh.
 */
export function meshKey({ sha256, unitFactor, repairs }: Omit<MeshReference, 'name'>): string {
  const unit = unitFactor === 1 ? '' : ` ×${unitFactor}`
  return repairs.length === 0 ? `${sha256}${unit}` : `${sha256}${unit} ${JSON.stringify(repairs)}`
}
