import { Canvas, useThree } from '@react-three/fiber'
import { useEffect, useRef } from 'react'
import { mapPoint } from '../../geometry/rigid.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbenchState } from '../workbench.ts'
import { WholeBone } from './bones-in-scene.tsx'
import type { CameraRig } from './camera-rig.ts'
import { type SceneColours, useSceneColours } from './colours.ts'
import { Floor } from './floor.tsx'
import { Lights } from './lights.tsx'
import { Line } from './line.tsx'
import type { Placement } from './placement.ts'
import { RedrawAfterLoss } from './redraw-after-loss.tsx'
import { usePlacement } from './use-placement.ts'

/** The bones as they are, beside the plan, through the same camera: turning one turns both. */
export function BeforePane({ rig }: { readonly rig: CameraRig }) {
  const holder = useRef<HTMLDivElement>(null)
  useEffect(() => (holder.current ? rig.attach(holder.current) : undefined), [rig])
  return (
    <>
      <div ref={holder} className="scene before">
        <Canvas
          frameloop="demand"
          flat
          dpr={[1, 2]}
          gl={{ antialias: true, alpha: true, stencil: true, preserveDrawingBuffer: false }}
          role="img"
          aria-label={sceneText.beforeView}
        >
          <BeforeContents rig={rig} />
        </Canvas>
      </div>
      <p className="pane-name before">{sceneText.before}</p>
      <p className="pane-name after">{sceneText.after}</p>
    </>
  )
}

function BeforeContents({ rig }: { readonly rig: CameraRig }) {
  const placement = usePlacement()
  const colours = useSceneColours()
  const standing = placement.frame === 'stance'
  return (
    <>
      <LinkedCamera rig={rig} />
      <RedrawAfterLoss />
      <Lights rig={rig} />
      <WholeBone bone="femur" placement={placement} colours={colours} />
      <WholeBone bone="tibia" placement={placement} colours={colours} />
      <JointLines placement={placement} colours={colours} />
      {standing ? <Floor placement={placement} colours={colours} /> : null}
    </>
  )
}

function LinkedCamera({ rig }: { readonly rig: CameraRig }) {
  const { get, set, invalidate } = useThree()
  useEffect(() => {
    const follow = () => {
      if (get().camera !== rig.camera) set({ camera: rig.camera })
      invalidate()
    }
    follow()
    return rig.listen(follow)
  }, [rig, get, set, invalidate])
  return null
}

interface JointLinesProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** The native joint lines, to be compared with where the components lie. */
function JointLines({ placement, colours }: JointLinesProps) {
  const landmarks = useWorkbenchState((state) => state.findings?.landmarks)
  const at = (id: string, of: Placement['sceneFromFemur']): Vec3 | null => {
    const landmark = landmarks?.[id as keyof typeof landmarks]
    return landmark ? mapPoint(of, landmark.mm) : null
  }
  const { sceneFromFemur, sceneFromTibia } = placement
  return (
    <>
      <Line
        points={[at('condyleDistalMedial', sceneFromFemur), at('condyleDistalLateral', sceneFromFemur)]}
        colour={colours.taken}
      />
      <Line
        points={[at('plateauMedial', sceneFromTibia), at('plateauLateral', sceneFromTibia)]}
        colour={colours.taken}
      />
    </>
  )
}
