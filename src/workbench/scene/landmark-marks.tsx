import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { boneOfLandmark, type Landmark, type LandmarkId } from '../../anatomy/terms.ts'
import { mapPoint } from '../../geometry/rigid.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { CameraRig } from './camera-rig.ts'
import type { SceneColours } from './colours.ts'
import { LandmarkMark } from './landmark-mark.tsx'
import { Line } from './line.tsx'
import { type Placement, sceneFrom } from './placement.ts'

interface LandmarkMarksProps {
  readonly placement: Placement
  readonly colours: SceneColours
  readonly rig: CameraRig
}

/** Mechanical axes, which run within the bones, and the joint lines that the cuts are told against. */
const lines = [
  { from: 'hipCentre', to: 'femoralKneeCentre', colour: 'steel', behind: 1 },
  { from: 'tibialKneeCentre', to: 'ankleCentre', colour: 'steel', behind: 1 },
  { from: 'plateauMedial', to: 'plateauLateral', colour: 'taken', behind: 0.35 },
  { from: 'condyleDistalMedial', to: 'condyleDistalLateral', colour: 'taken', behind: 0.35 },
  { from: 'condylePosteriorMedial', to: 'condylePosteriorLateral', colour: 'taken', behind: 0.35 },
] as const

/** Landmarks and mechanical axes. Drawn through the bone, since most lie on or in it. */
export function LandmarkMarks({ placement, colours, rig }: LandmarkMarksProps) {
  const shown = useWorkbenchState((state) => state.stage === 'landmarks' && !state.hidden.has('landmarks'))
  // Under another tool a mark would only be in the way of the hand.
  const inTheWay = useWorkbenchState((state) => state.handTool !== 'landmark')
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => invalidate())
  if (!shown) return null
  const landmarks = { ...femur?.landmarks, ...tibia?.landmarks }
  const inScene = (id: LandmarkId): Vec3 | null => {
    const landmark = landmarks[id]
    return landmark ? mapPoint(sceneFrom(placement, boneOfLandmark(id)), landmark.mm) : null
  }
  return (
    <>
      {(inTheWay ? [] : (Object.entries(landmarks) as [LandmarkId, Landmark][])).map(([id, landmark]) => {
        const at = inScene(id)!
        return (
          <LandmarkMark
            key={id}
            id={id}
            landmark={landmark}
            at={at}
            placement={placement}
            colours={colours}
            rig={rig}
          />
        )
      })}
      {lines.map(({ from, to, colour, behind }) => (
        <Line
          key={from}
          points={[inScene(from), inScene(to)]}
          colour={colours[colour]}
          halo={colours.paper}
          behind={behind}
        />
      ))}
    </>
  )
}
