import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import type { Landmark, LandmarkId } from '../../anatomy/terms.ts'
import { mapPoint } from '../../geometry/rigid.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { landmarkBone } from '../store/landmark-bone.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { LandmarkTag } from './landmark-tag.tsx'
import { Line } from './line.tsx'
import type { Placement } from './placement.ts'

interface LandmarkMarksProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** Landmarks and mechanical axes. Drawn through the bone, since most lie on or in it. */
export function LandmarkMarks({ placement, colours }: LandmarkMarksProps) {
  const { store } = useWorkbench()
  const shown = useWorkbenchState((state) => state.stage === 'landmarks' && !state.hidden.has('landmarks'))
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const active = useWorkbenchState((state) => state.activeLandmark)
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => invalidate())
  if (!shown) return null
  const landmarks = { ...femur?.landmarks, ...tibia?.landmarks }
  const inScene = (id: LandmarkId): Vec3 | null => {
    const landmark = landmarks[id]
    return landmark
      ? mapPoint(landmarkBone(id) === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia, landmark.mm)
      : null
  }
  return (
    <>
      {(Object.entries(landmarks) as [LandmarkId, Landmark][]).map(([id, landmark]) => {
        const at = inScene(id)!
        return (
          <mesh
            key={id}
            name={`landmark ${id}`}
            position={at as [number, number, number]}
            renderOrder={7}
            onClick={(event) => {
              if (event.delta > 3) return
              event.stopPropagation()
              // The click chose a landmark: it must not move one too.
              event.nativeEvent.preventDefault()
              store.getState().chooseLandmark(id)
            }}
          >
            <sphereGeometry args={[id === active ? 3.4 : 2.2, 20, 14]} />
            <meshBasicMaterial
              color={id === active ? colours.taken : landmark.confidence < 0.4 ? colours.taken : colours.steel}
              depthTest={false}
              transparent
              opacity={id === active ? 1 : 0.85}
            />
          </mesh>
        )
      })}
      {active && inScene(active) ? <LandmarkTag words={landmarkLabels[active]} at={inScene(active)!} /> : null}
      <Line points={[inScene('hipCentre'), inScene('femoralKneeCentre')]} colour={colours.steel} />
      <Line points={[inScene('tibialKneeCentre'), inScene('ankleCentre')]} colour={colours.steel} />
      <Line points={[inScene('plateauMedial'), inScene('plateauLateral')]} colour={colours.taken} />
      <Line points={[inScene('condyleDistalMedial'), inScene('condyleDistalLateral')]} colour={colours.taken} />
      <Line points={[inScene('condylePosteriorMedial'), inScene('condylePosteriorLateral')]} colour={colours.taken} />
    </>
  )
}
