import { useMemo } from 'react'
import { Matrix4 } from 'three'
import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedOtherLeg } from '../../engine/contract.ts'
import { rising } from '../../stance/rise.ts'
import type { OtherLegStanding } from '../../stance/stand-other-leg.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { openedBone, openedOtherLeg } from '../store/bones-slice.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'

interface OtherLegProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** The other leg beside the one that stands: its own bones where they are at hand, else the mirror image, pale; none on one leg. */
export function OtherLeg({ placement, colours }: OtherLegProps) {
  const shown = useWorkbenchState((state) => state.otherLegShown && state.history.present.stance.pose !== 'one-leg')
  const own = useWorkbenchState(openedOtherLeg)
  const stands = useWorkbenchState((state) => state.drawing?.other ?? null)
  // A mirror image of a scan of the knee alone would stand in the way of it and say nothing.
  const short = useWorkbenchState(
    ({ findings }) => !!findings && (findings.bones.femur.truncated || findings.bones.tibia.truncated),
  )
  if (!shown || placement.frame !== 'stance') return null
  if (own && stands) return <OwnLeg opened={own} stands={stands} colours={colours} />
  if (short) return null
  return (['femur', 'tibia'] as const).map((bone) => (
    <MirroredBone key={bone} bone={bone} placement={placement} colours={colours} />
  ))
}

interface OwnLegProps {
  readonly opened: OpenedOtherLeg
  readonly stands: OtherLegStanding
  readonly colours: SceneColours
}

/** Uncut, rising with the operated leg. */
function OwnLeg({ opened, stands, colours }: OwnLegProps) {
  const risen = useWorkbenchState((state) => state.risen)
  const hidden = useWorkbenchState((state) => state.hidden)
  const { stance } = useShownStance()
  const matrices = useMemo(() => {
    const at = rising({ ...stands, ankleHeightMm: stance?.ankleHeightMm ?? 0 }, risen)
    return {
      femur: matrixOf(at.stanceFromFemur, opened.display.femur.origin),
      tibia: matrixOf(at.stanceFromTibia, opened.display.tibia.origin),
    }
  }, [stands, stance, risen, opened])
  return (['femur', 'tibia'] as const).map((bone) => (
    <Surface
      key={bone}
      name={`other-${bone}`}
      display={opened.display[bone]}
      matrix={matrices[bone]}
      colour={colours.bone}
      cutColour={colours['bone-cut']}
      opacity={0.55}
      visible={!hidden.has(bone)}
      aside
    />
  ))
}

/** Across the mid-line of the stance, z = 0. */
const acrossMidline = new Matrix4().makeScale(1, 1, -1)

function MirroredBone({ bone, placement, colours }: OtherLegProps & { readonly bone: BoneName }) {
  const display = useWorkbenchState((state) => openedBone(state, bone)?.display)
  const hidden = useWorkbenchState((state) => state.hidden.has(bone))
  const rigid = sceneFrom(placement, bone)
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
