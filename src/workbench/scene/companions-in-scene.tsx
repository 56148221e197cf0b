import { useMemo } from 'react'
import type { CompanionName } from '../../anatomy/terms.ts'
import { companionsOf } from '../../casefile/companions.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { useWorkbenchState } from '../workbench.ts'
import { BoneSurface } from './bone-surface.tsx'
import type { SceneColours } from './colours.ts'
import type { Placement } from './placement.ts'

interface CompanionsProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** The files a joint centre was read from, each in the frame of the bone it belongs to. */
export function CompanionsInScene({ placement, colours }: CompanionsProps) {
  const landmarks = useWorkbenchState((state) => state.history.present.landmarks)
  const companions = useMemo(() => companionsOf({ landmarks }), [landmarks])
  return companions.map(({ part, file }) => (
    <OneCompanion key={part} part={part} meshName={meshKey(file)} placement={placement} colours={colours} />
  ))
}

function OneCompanion({
  part,
  meshName,
  placement,
  colours,
}: CompanionsProps & { readonly part: CompanionName; readonly meshName: string }) {
  const bone = part === 'femoral-head' ? 'femur' : 'tibia'
  const display = useWorkbenchState((state) => state.meshes[meshName]?.display)
  return display ? (
    <BoneSurface name={part} bone={bone} display={display} placement={placement} colours={colours} />
  ) : null
}
