import { memo, useMemo } from 'react'
import type { BoneName } from '../../anatomy/terms.ts'
import type { PlanPart } from '../../engine/plan-parts.ts'
import { compose, identityRigid, rotate } from '../../geometry/rigid.ts'
import { addScaled, scale, type Vec3 } from '../../geometry/vec.ts'
import { openedBone } from '../store/bones-slice.ts'
import { shownPreview } from '../store/problems-slice.ts'
import { useWorkbenchState } from '../workbench.ts'
import { BoneSurface } from './bone-surface.tsx'
import type { SceneColours } from './colours.ts'
import { CompanionsInScene } from './companions-in-scene.tsx'
import { PaintedNumbers } from './painted-numbers.tsx'
import { type Placement, sceneFrom } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'
import { paintedPressure, usePaint } from './use-paint.ts'
import { useSplit } from './use-split.ts'

/** How far a removed piece is lifted off, and how far femur and tibia part so that it can be seen, mm. */
const liftMm = 26
export const femurApartMm = 66

interface BonesInSceneProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** Bones whole or cut, pieces in place or lifted, components; which of them depends on the stage. */
export function BonesInScene({ placement, colours }: BonesInSceneProps) {
  const stage = useWorkbenchState((state) => state.stage)
  const parts = useWorkbenchState((state) => state.parts)
  const holds = useWorkbenchState((state) => state.findings !== null || state.history.gesture !== null)
  const planned = parts !== null && holds && (stage === 'cuts' || stage === 'stance' || stage === 'loading')
  if (!planned) {
    return (
      <>
        <WholeBone bone="femur" placement={placement} colours={colours} />
        <WholeBone bone="tibia" placement={placement} colours={colours} />
        <CompanionsInScene placement={placement} colours={colours} />
      </>
    )
  }
  return (
    <>
      {parts.parts.map((part) => (
        <PlannedPart key={part.id} part={part} placement={placement} colours={colours} onCuts={stage === 'cuts'} />
      ))}
      <CompanionsInScene placement={placement} colours={colours} />
    </>
  )
}

export function WholeBone({ bone, placement, colours }: BonesInSceneProps & { readonly bone: BoneName }) {
  const display = useWorkbenchState(
    (state) => shownPreview(state, bone)?.outcome.display ?? openedBone(state, bone)?.display,
  )
  return display ? (
    <BoneSurface name={bone} bone={bone} display={display} placement={placement} colours={colours} />
  ) : null
}

interface PlannedPartProps extends BonesInSceneProps {
  readonly part: PlanPart
  readonly onCuts: boolean
}

const PlannedPart = memo(function PlannedPart({ part, placement, colours, onCuts }: PlannedPartProps) {
  const split = useSplit()
  const lifted = useWorkbenchState((state) => state.liftPieces) && onCuts && !split
  const hidden = useWorkbenchState((state) =>
    part.kind === 'kept'
      ? state.hidden.has(part.bone)
      : state.hidden.has(part.kind === 'removed' ? 'pieces' : 'components'),
  )
  const seeThrough = useWorkbenchState((state) => state.seeThrough)
  const rigid = sceneFrom(placement, part.bone)
  const { origin } = part.display
  const matrix = useMemo(() => {
    const off: Vec3 = lifted && part.lift ? scale(rotate(rigid.rotation, part.lift), liftMm) : [0, 0, 0]
    const apart: Vec3 = lifted && part.bone === 'femur' ? addScaled(off, [0, 1, 0], femurApartMm) : off
    return matrixOf(compose({ ...identityRigid, translation: apart }, rigid), origin)
  }, [rigid, origin, lifted, part.lift, part.bone])
  const plain = part.kind === 'component' ? colours.component : colours.taken
  const paint = usePaint(part, plain)
  // Pressures lie between the components: what is above them is seen through.
  const above = useWorkbenchState((state) => part.bone === 'femur' && paintedPressure(state) !== null)
  if (part.kind === 'removed' && (!onCuts || split)) return null
  const removed = part.kind === 'removed'
  const component = part.kind === 'component'
  const solid = component ? 0.46 : part.kind === 'kept' && seeThrough ? 0.35 : 1
  return (
    <>
      {hidden ? null : <PaintedNumbers numbers={paint?.numbers ?? []} matrix={matrix} origin={origin} />}
      <Surface
        name={part.id}
        display={part.display}
        matrix={matrix}
        colour={component ? colours.component : removed ? colours.taken : colours.bone}
        cutColour={component ? colours.component : removed ? colours.taken : colours['bone-cut']}
        opacity={above ? 0.14 : paint ? 1 : solid}
        metal={component && !paint}
        visible={!hidden}
        painted={paint?.corners ?? null}
      />
    </>
  )
})
