import { type Matrix4, Vector3 } from 'three'
import type { Vec3 } from '../../geometry/vec.ts'
import { plain } from './rigid-matrix.ts'
import type { PaintedNumber } from './use-paint.ts'
import { useTag } from './use-tag.ts'

interface PaintedNumbersProps {
  readonly numbers: readonly PaintedNumber[]
  /** Scene from the drawn mesh, whose coordinates are less `origin`. */
  readonly matrix: Matrix4
  readonly origin: Vec3
}

/** What a map says in figures, at the places where it says it. */
export function PaintedNumbers({ numbers, matrix, origin }: PaintedNumbersProps) {
  const inScene = (at: Vec3) =>
    plain(new Vector3(at[0] - origin[0], at[1] - origin[1], at[2] - origin[2]).applyMatrix4(matrix))
  const places = numbers.map(({ at }) => inScene(at))
  const middle = places.reduce<Vec3>(
    (sum, p) => [sum[0] + p[0] / places.length, sum[1] + p[1] / places.length, sum[2] + p[2] / places.length],
    [0, 0, 0],
  )
  return numbers.map(({ name, words }, k) => (
    <NumberTag key={name} name={name} words={words} at={places[k]!} from={middle} />
  ))
}

interface NumberTagProps {
  readonly name: string
  readonly words: string
  readonly at: Vec3
  readonly from: Vec3
}

function NumberTag({ name, words, at, from }: NumberTagProps) {
  useTag(name, () => words, at, from, always)
  return null
}

const always = () => true
