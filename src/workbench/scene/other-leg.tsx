import { useMemo } from 'react'
import { Matrix4 } from 'three'
import type { BoneName } from '../../anatomy/terms.ts'
import { openedBone } from '../store/bones-slice.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import type { Placement } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'

interface OtherLegProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** The other leg beside the one that stands: its mirror image, pale, since nobody has scanned it; none on one leg. */
export function OtherLeg({ placement, colours }: OtherLegProps) {
  const shown = useWorkbenchState((state) => state.otherLegShown && state.history.present.stance.pose !== 'one-leg')
  if (!shown || placement.frame !== 'stance') return null
  return (['femur', 'tibia'] as const).map((bone) => (
    <MirroredBone key={bone} bone={bone} placement={placement} colours={colours} />
  ))
}

/** Across the mid-line of the stance, z = 0. */
const acrossMidline = new Matrix4().makeScale(1, 1, -1)

function MirroredBone({ bone, placement, colours }: OtherLegProps & { readonly bone: BoneName }) {
  const display = useWorkbenchState((state) => openedBone(state, bone)?.display)
  const hidden = useWorkbenchState((state) => state.hidden.has(bone))
  const rigid = bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia
  const matrix = useMemo(
    () => (display ? acrossMidline.clone().multiply(matrixOf(rigid, display.origin)) : null),
    [rigid, display],
  )
  if (!display || !matrix) return null
  return (
    <Surface
      name={`other-${bone}`}
      display={display}
      matrix={matrix}
      colour={colours.bone}
      cutColour={colours['bone-cut']}
      opacity={0.3}
      visible={!hidden}
      aside
    />
  )
}
