import { useThree } from '@react-three/fiber'
import { useEffect, useMemo } from 'react'
import { BufferGeometry, Float32BufferAttribute } from 'three'
import type { Vec3 } from '../../geometry/vec.ts'

interface LineProps {
  /** Nothing is drawn while an end is missing. */
  readonly points: readonly (Vec3 | null)[]
  readonly colour: string
  readonly dashed?: boolean
}

/** A thin line through the scene, seen through everything; dashes are 6 mm. */
export function Line({ points, colour, dashed = false }: LineProps) {
  const invalidate = useThree((three) => three.invalidate)
  const key = points.map((p) => p?.join() ?? '-').join(' ')
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key is made of the points
  const geometry = useMemo(
    () => (points.includes(null) ? null : lineGeometry(points as readonly Vec3[], dashed)),
    [key, dashed],
  )
  useEffect(() => {
    invalidate()
    return () => geometry?.dispose()
  }, [geometry, invalidate])
  if (!geometry) return null
  return (
    <lineSegments geometry={geometry} renderOrder={5}>
      <lineBasicMaterial color={colour} depthTest={false} transparent opacity={0.9} />
    </lineSegments>
  )
}

function lineGeometry(points: readonly Vec3[], dashed: boolean): BufferGeometry {
  const geometry = new BufferGeometry()
  const ends: number[] = []
  for (let k = 1; k < points.length; k++) {
    const [a, b] = [points[k - 1]!, points[k]!]
    const length = Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])
    const pieces = dashed ? Math.max(1, Math.round(length / 12)) : 1
    for (let i = 0; i < pieces; i++) {
      const [from, to] = [i / pieces, (i + (dashed ? 0.5 : 1)) / pieces]
      for (const t of [from, to]) for (let axis = 0; axis < 3; axis++) ends.push(a[axis]! + t * (b[axis]! - a[axis]!))
    }
  }
  geometry.setAttribute('position', new Float32BufferAttribute(ends, 3))
  return geometry
}
