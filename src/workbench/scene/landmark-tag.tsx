import type { Vec3 } from '../../geometry/vec.ts'
import { useTag } from './use-tag.ts'

interface LandmarkTagProps {
  readonly words: string
  readonly at: Vec3
}

/** The name of the chosen landmark beside it. */
export function LandmarkTag({ words, at }: LandmarkTagProps) {
  useTag('landmark', () => words, at, [0, at[1], 0], always)
  return null
}

const always = () => true
