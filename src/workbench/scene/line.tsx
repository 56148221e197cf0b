import { useThree } from '@react-three/fiber'
import { useEffect, useMemo } from 'react'
import { LineMaterial } from 'three/addons/lines/LineMaterial.js'
import { LineSegments2 } from 'three/addons/lines/LineSegments2.js'
import { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js'
import type { Vec3 } from '../../geometry/vec.ts'

interface LineProps {
  /** Nothing is drawn while an end is missing. */
  readonly points: readonly (Vec3 | null)[]
  readonly colour: string
  readonly dashed?: boolean
  /** Pixels. */
  readonly width?: number
  /** A colour about the line, so that it is seen on bone in every theme; none unless given. */
  readonly halo?: string
  /** How strong it is where something lies before it; 1: as strong as anywhere. */
  readonly behind?: number
}

/** On each side of the line, pixels. */
const haloPx = 0.75
/** A line on a surface lies half in it: what is this much nearer still does not hide it, in the depth buffer's units. */
const nearer = 8000

/** A thin line through the scene, seen through everything; dashes are 6 mm. */
export function Line({ points, colour, dashed = false, width = 1.5, halo, behind = 1 }: LineProps) {
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
  const hides = behind < 1
  const rim = width + 2 * haloPx
  return (
    <>
      {hides ? <Stroke geometry={geometry} colour={colour} width={width} opacity={behind} order={3} /> : null}
      {halo ? <Stroke geometry={geometry} colour={halo} width={rim} opacity={0.6} order={4} hides={hides} /> : null}
      <Stroke geometry={geometry} colour={colour} width={width} opacity={1} order={5} hides={hides} />
    </>
  )
}

interface StrokeProps {
  readonly geometry: LineSegmentsGeometry
  readonly colour: string
  readonly width: number
  readonly opacity: number
  readonly order: number
  /** Not drawn where something lies before it. */
  readonly hides?: boolean
}

function Stroke({ geometry, colour, width, opacity, order, hides = false }: StrokeProps) {
  const drawn = useMemo(() => {
    const material = new LineMaterial({
      linewidth: width,
      opacity,
      transparent: true,
      depthTest: hides,
      depthWrite: false,
      polygonOffset: hides,
      polygonOffsetUnits: -nearer,
    })
    const made = new LineSegments2(geometry, material)
    made.renderOrder = order
    // What is only seen is not hit.
    made.raycast = () => undefined
    return made
  }, [geometry, width, opacity, order, hides])
  useEffect(() => () => drawn.material.dispose(), [drawn])
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => {
    drawn.material.color.set(colour)
    invalidate()
  }, [drawn, colour, invalidate])
  return <primitive object={drawn} />
}

function lineGeometry(points: readonly Vec3[], dashed: boolean): LineSegmentsGeometry {
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
  return new LineSegmentsGeometry().setPositions(ends)
}
