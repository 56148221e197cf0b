import { useThree } from '@react-three/fiber'
import { useEffect, useMemo } from 'react'
import { signedDistance } from '../../geometry/plane.ts'
import { mapPoint, mapVector } from '../../geometry/rigid.ts'
import { addScaled, angleBetween, distance, midpoint, sub, toDeg, type Vec3 } from '../../geometry/vec.ts'
import { formatQuantity } from '../text/format.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { activeSheet } from './active-sheet.ts'
import type { SceneColours } from './colours.ts'
import { ConstantSize } from './constant-size.tsx'
import { holderOf } from './holder.ts'
import { Line } from './line.tsx'
import { pickOnBones } from './pick-on-bones.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { useTag } from './use-tag.ts'

interface MeasureProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** While measuring is on, clicks on the bones give a distance, an angle, or how far a point lies off a plane; one more begins anew. */
export function Measure({ placement, colours }: MeasureProps) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { gl, camera } = useThree()
  const measuring = useWorkbenchState((state) => state.measuring)
  const kind = useWorkbenchState((state) => state.measureKind)
  const points = useWorkbenchState((state) => state.measured)
  const plane = usePlane(placement)
  useEffect(() => {
    if (!measuring) return
    const element = holderOf(gl)
    let downAt: readonly [number, number] = [0, 0]
    const down = (event: PointerEvent) => {
      downAt = [event.clientX, event.clientY]
    }
    const click = async (event: MouseEvent) => {
      if (Math.hypot(event.clientX - downAt[0], event.clientY - downAt[1]) > 3) return
      const hit = await pickOnBones(workbench, placement, event, element, camera)
      if (hit) store.getState().addMeasured(hit.inScene)
    }
    element.addEventListener('pointerdown', down)
    element.addEventListener('click', click)
    return () => {
      element.removeEventListener('pointerdown', down)
      element.removeEventListener('click', click)
    }
  }, [measuring, gl, camera, placement, workbench, store])
  // Points belong to the scene they were picked in.
  // biome-ignore lint/correctness/useExhaustiveDependencies: another placement is another scene
  useEffect(() => store.getState().clearMeasured(), [placement, store])
  const [a, b, c] = points
  return (
    <>
      {points.map((p) => (
        <ConstantSize key={p.join()} at={p}>
          <mesh renderOrder={8}>
            <sphereGeometry args={[4, 16, 12]} />
            <meshBasicMaterial color={colours.taken} depthTest={false} transparent />
          </mesh>
        </ConstantSize>
      ))}
      {kind === 'distance' && a && b ? (
        <Result name="distance" at={midpoint(a, b)} from={a} words={formatQuantity(distance(a, b), 'mm')} />
      ) : null}
      {kind === 'angle' && a && b && c ? (
        <Result
          name="angle"
          at={b}
          from={midpoint(a, c)}
          words={formatQuantity(toDeg(angleBetween(sub(a, b), sub(c, b))), 'deg')}
        />
      ) : null}
      {kind === 'plane' && a ? (
        <Result
          name="point to plane"
          at={a}
          from={plane?.point ?? a}
          words={plane ? formatQuantity(signedDistance(plane, a), 'mm', { signed: true }) : sceneText.noPlane}
        />
      ) : null}
      {kind === 'plane' && a && plane ? (
        <Line points={[a, addScaled(a, plane.normal, -signedDistance(plane, a))]} colour={colours.taken} />
      ) : null}
      {kind !== 'plane' && points.length > 1 ? <Line points={points} colour={colours.taken} /> : null}
    </>
  )
}

/** A plane fitted by hand, else that of the active cut; in the scene. */
function usePlane(placement: Placement): { readonly point: Vec3; readonly normal: Vec3 } | null {
  const { store } = useWorkbench()
  // The cut moves with every pull; it is looked at only where something is measured from it.
  const of = useWorkbenchState((state) => (state.measuring && state.measureKind === 'plane' ? state.findings : null))
  const cut = useWorkbenchState((state) => state.activeCut)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the findings and the chosen cut say where it is
  const sheet = useMemo(() => of && activeSheet(store.getState(), placement), [of, cut, placement, store])
  const bone = useWorkbenchState((state) => state.handBone)
  const fit = useWorkbenchState((state) =>
    state.handFit?.ok && state.handFit.value.kind === 'plane' ? state.handFit.value : null,
  )
  if (!fit?.direction) return sheet && { point: sheet.centre, normal: sheet.normal }
  const rigid = sceneFrom(placement, bone ?? 'tibia')
  return { point: mapPoint(rigid, fit.point), normal: mapVector(rigid, fit.direction) }
}

interface ResultProps {
  readonly name: string
  readonly at: Vec3
  readonly from: Vec3
  readonly words: string
}

function Result({ name, at, from, words }: ResultProps) {
  useTag(name, () => words, at, from, always)
  return null
}

const always = () => true
