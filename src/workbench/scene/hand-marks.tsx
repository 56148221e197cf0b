import { useThree } from '@react-three/fiber'
import { useEffect, useMemo } from 'react'
import { BufferAttribute, BufferGeometry, DoubleSide, Float32BufferAttribute } from 'three'
import type { PaintedPatch } from '../../engine/contract.ts'
import type { FittedShape } from '../../geometry/fit-shape.ts'
import { planeBasis } from '../../geometry/plane-basis.ts'
import { mapPoint, mapVector, type Rigid } from '../../geometry/rigid.ts'
import { addScaled, dot, sub, type Vec3 } from '../../geometry/vec.ts'
import { divergingColour } from '../charts/colour-map.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { ConstantSize } from './constant-size.tsx'
import { Line } from './line.tsx'
import { type Placement, sceneFrom } from './placement.ts'
import { residualSpan } from './residual-span.ts'
import { matrixOf } from './rigid-matrix.ts'

interface HandMarksProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** What the hand has picked and painted, and the shape fitted to it; only on the landmarks stage. */
export function HandMarks({ placement, colours }: HandMarksProps) {
  const shown = useWorkbenchState((state) => state.stage === 'landmarks' && state.handBone !== null)
  const bone = useWorkbenchState((state) => state.handBone)
  const points = useWorkbenchState((state) => state.handPoints)
  const patch = useWorkbenchState((state) => state.handPatch)
  const fit = useWorkbenchState((state) => (state.handFit?.ok ? state.handFit.value : null))
  const rigid = sceneFrom(placement, bone ?? 'tibia')
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => invalidate())
  if (!shown) return null
  return (
    <>
      {points.map((p) => (
        <ConstantSize key={p.join()} at={mapPoint(rigid, p)}>
          <mesh renderOrder={8}>
            <sphereGeometry args={[5, 16, 12]} />
            <meshBasicMaterial color={colours.taken} depthTest={false} transparent />
          </mesh>
        </ConstantSize>
      ))}
      {patch ? <PatchSurface patch={patch} fit={fit} rigid={rigid} colours={colours} /> : null}
      {fit ? <ShapeMark shape={fit} rigid={rigid} colours={colours} reachMm={reachOf(fit, points, patch)} /> : null}
    </>
  )
}

interface PatchSurfaceProps {
  readonly patch: PaintedPatch
  readonly fit: FittedShape | null
  readonly rigid: Rigid
  readonly colours: SceneColours
}

/** The painted part of the bone, by its distance from the fitted shape; outliers are left in the plain accent. */
function PatchSurface({ patch, fit, rigid, colours }: PatchSurfaceProps) {
  const geometry = useMemo(() => {
    const { positions, normals } = patch.display
    const made = new BufferGeometry()
    made.setAttribute('position', new BufferAttribute(positions, 3))
    made.setAttribute('normal', new BufferAttribute(normals, 3))
    if (patch.residualMm) made.setAttribute('color', new BufferAttribute(coloursOf(patch.residualMm, fit), 3))
    return made
  }, [patch, fit])
  useEffect(() => () => geometry.dispose(), [geometry])
  const coloured = patch.residualMm !== null
  return (
    <mesh
      key={coloured ? 'map' : 'plain'}
      name="painted patch"
      geometry={geometry}
      matrix={matrixOf(rigid, patch.display.origin)}
      matrixAutoUpdate={false}
    >
      <meshStandardMaterial
        color={coloured ? '#ffffff' : colours.taken}
        vertexColors={coloured}
        roughness={0.9}
        polygonOffset
        polygonOffsetFactor={-2}
        polygonOffsetUnits={-8}
      />
    </mesh>
  )
}

/** Linear colours for three; left out: dark grey. */
function coloursOf(residualMm: Float32Array, fit: FittedShape | null): Float32Array {
  const span = residualSpan(fit)
  const limit = fit?.limitMm ?? Infinity
  const out = new Float32Array(3 * residualMm.length)
  residualMm.forEach((mm, k) => {
    const rgb = Math.abs(mm) > limit ? outlier : divergingColour(mm / span)
    rgb.forEach((c, axis) => {
      out[3 * k + axis] = (c / 255) ** 2.2
    })
  })
  return out
}

const outlier = [90, 86, 80] as const

interface ShapeMarkProps {
  readonly shape: FittedShape
  readonly rigid: Rigid
  readonly colours: SceneColours
  readonly reachMm: number
}

function ShapeMark({ shape, rigid, colours, reachMm }: ShapeMarkProps) {
  const centre = mapPoint(rigid, shape.point)
  const along = shape.direction && mapVector(rigid, shape.direction)
  const colour = colours.steel
  if (shape.kind === 'plane' && along) return <Sheet at={centre} normal={along} halfMm={reachMm + 8} colour={colour} />
  if (shape.kind === 'circle' && along)
    return <Line points={ring(centre, along, shape.radiusMm ?? 0)} colour={colour} />
  const axis = along && (
    <Line points={[addScaled(centre, along, -reachMm - 25), addScaled(centre, along, reachMm + 25)]} colour={colour} />
  )
  if (shape.kind === 'line') return axis
  const r = shape.radiusMm ?? 0
  const rings: readonly (readonly Vec3[])[] =
    shape.kind === 'cylinder' && along
      ? [-1, 0, 1].map((k) => ring(addScaled(centre, along, k * reachMm), along, r))
      : [ring(centre, [1, 0, 0], r), ring(centre, [0, 1, 0], r), ring(centre, [0, 0, 1], r)]
  return (
    <>
      {axis}
      {rings.map((points, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: three rings, always the same
        <Line key={k} points={points} colour={colour} />
      ))}
      <ConstantSize at={centre}>
        <mesh renderOrder={8}>
          <sphereGeometry args={[4, 16, 12]} />
          <meshBasicMaterial color={colour} depthTest={false} transparent />
        </mesh>
      </ConstantSize>
    </>
  )
}

function ring(centre: Vec3, normal: Vec3, radiusMm: number): readonly Vec3[] {
  const [u, v] = planeBasis(normal)
  return Array.from({ length: 65 }, (_, k) => {
    const turn = (2 * Math.PI * k) / 64
    return addScaled(addScaled(centre, u, radiusMm * Math.cos(turn)), v, radiusMm * Math.sin(turn))
  })
}

interface SheetProps {
  readonly at: Vec3
  readonly normal: Vec3
  readonly halfMm: number
  readonly colour: string
}

function Sheet({ at, normal, halfMm, colour }: SheetProps) {
  const [u, v] = planeBasis(normal)
  const corners = [
    [1, 1],
    [-1, 1],
    [-1, -1],
    [1, -1],
  ].map(([a, b]) => addScaled(addScaled(at, u, a! * halfMm), v, b! * halfMm))
  const key = corners.flat().join()
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key is made of the corners
  const face = useMemo(() => {
    const made = new BufferGeometry()
    made.setAttribute('position', new Float32BufferAttribute(corners.flat(), 3))
    made.setIndex([0, 1, 2, 0, 2, 3])
    return made
  }, [key])
  useEffect(() => () => face.dispose(), [face])
  return (
    <>
      <mesh geometry={face} renderOrder={3}>
        <meshBasicMaterial color={colour} transparent opacity={0.22} side={DoubleSide} depthWrite={false} />
      </mesh>
      <Line points={[...corners, corners[0]!]} colour={colour} />
    </>
  )
}

/** How far the shape is drawn: over what it was fitted to. */
function reachOf(shape: FittedShape, points: readonly Vec3[], patch: PaintedPatch | null): number {
  const direction = shape.direction
  const far = (p: Vec3): number => {
    const d = sub(p, shape.point)
    return shape.kind === 'plane' || !direction ? Math.hypot(...d) : Math.abs(dot(d, direction))
  }
  let most = 0
  for (const p of points) most = Math.max(most, far(p))
  if (patch) {
    const { positions, origin } = patch.display
    for (let k = 0; k < positions.length; k += 9)
      most = Math.max(
        most,
        far([positions[k]! + origin[0], positions[k + 1]! + origin[1], positions[k + 2]! + origin[2]]),
      )
  }
  return most
}
