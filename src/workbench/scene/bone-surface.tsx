import { useMemo } from 'react'
import type { BoneName } from '../../anatomy/terms.ts'
import type { DisplayMesh } from '../../engine/display-mesh.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'

interface BoneSurfaceProps {
  readonly name: string
  /** In whose frame it lies, and with which it is hidden. */
  readonly bone: BoneName
  readonly display: DisplayMesh
  readonly placement: Placement
  readonly colours: SceneColours
}

/** An uncut surface in the frame of a bone. */
export function BoneSurface({ name, bone, display, placement, colours }: BoneSurfaceProps) {
  const hidden = useWorkbenchState((state) => state.hidden.has(bone))
  const seeThrough = useWorkbenchState((state) => state.seeThrough)
  const rigid = sceneFrom(placement, bone)
  const matrix = useMemo(() => matrixOf(rigid, display.origin), [rigid, display])
  return (
    <Surface
      name={name}
      display={display}
      matrix={matrix}
      colour={colours.bone}
      cutColour={colours['bone-cut']}
      opacity={seeThrough ? 0.35 : 1}
      visible={!hidden}
    />
  )
}
