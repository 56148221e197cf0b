import { useMemo } from 'react'
import type { CompanionName } from '../../anatomy/terms.ts'
import { companionsOf } from '../../casefile/companions.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import type { Placement } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'

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
  const hidden = useWorkbenchState((state) => state.hidden.has(bone))
  const seeThrough = useWorkbenchState((state) => state.seeThrough)
  const rigid = bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia
  const matrix = useMemo(() => (display ? matrixOf(rigid, display.origin) : null), [rigid, display])
  if (!display || !matrix) return null
  return (
    <Surface
      name={part}
      display={display}
      matrix={matrix}
      colour={colours.bone}
      cutColour={colours['bone-cut']}
      opacity={seeThrough ? 0.35 : 1}
      visible={!hidden}
    />
  )
}
