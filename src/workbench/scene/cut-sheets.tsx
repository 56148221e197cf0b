import { useThree } from '@react-three/fiber'
import { memo, useEffect, useMemo, useRef } from 'react'
import {
  BufferGeometry,
  DoubleSide,
  Float32BufferAttribute,
  type LineBasicMaterial,
  type MeshBasicMaterial,
} from 'three'
import type { Findings } from '../../findings.ts'
import { compose, identityRigid } from '../../geometry/rigid.ts'
import type { CutId } from '../../planning/terms.ts'
import { keepEqual } from '../live/keep-equal.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { femurApartMm } from './bones-in-scene.tsx'
import type { CameraRig } from './camera-rig.ts'
import type { SceneColours } from './colours.ts'
import { CutHandleMark } from './cut-handle.tsx'
import { type CutSheet, cutSheet, sheetCorners } from './cut-sheet.ts'
import { useAppearing } from './eased.ts'
import type { Placement } from './placement.ts'
import { useSplit } from './use-split.ts'

interface CutSheetsProps {
  readonly placement: Placement
  readonly colours: SceneColours
  readonly rig: CameraRig
}

/** Every planned cut as a sheet; the active one carries handles. Only on the cuts stage. */
export function CutSheets({ placement, colours, rig }: CutSheetsProps) {
  const shown = useWorkbenchState((state) => state.stage === 'cuts' && !state.hidden.has('sheets'))
  const findings = useFindingsInHand()
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const active = useWorkbenchState((state) => state.activeCut)
  const alone = useWorkbenchState((state) => state.cutAlone)
  const split = useSplit()
  const lifted = useWorkbenchState((state) => state.liftPieces && state.parts !== null) && !split
  // A pull on one cut leaves the sheets of the others as they are.
  const last = useRef<readonly CutSheet[]>([])
  const sheets = useMemo((): readonly CutSheet[] => {
    if (!findings || !femur || !tibia) return []
    const apart = { ...identityRigid, translation: [0, lifted ? femurApartMm : 0, 0] as const }
    const made = findings.cuts.flatMap((cut) => {
      const ofFemur = cut.bone === 'femur'
      const sheet = cutSheet({
        cut,
        side: findings.side,
        procedure: findings.procedure,
        anatomy: ofFemur ? femur : tibia,
        sceneFromBone: ofFemur ? compose(apart, placement.sceneFromFemur) : placement.sceneFromTibia,
        alone,
      })
      return sheet ? [sheet] : []
    })
    return keepEqual(last.current, made)
  }, [findings, femur, tibia, placement, lifted, alone])
  last.current = sheets
  if (!shown) return null
  return sheets
    .filter((sheet) => sheet.id === active || alwaysSeen.has(sheet.id))
    .map((sheet) => (
      <group key={sheet.id}>
        <Sheet sheet={sheet} colours={colours} active={sheet.id === active} />
        {sheet.id === active
          ? sheet.handles.map((handle) => (
              <CutHandleMark key={handle.field.step} sheet={sheet} handle={handle} colours={colours} rig={rig} />
            ))
          : null}
      </group>
    ))
}

/** The findings; while a pull has gone where no plan is possible, the last there were, so that the handle stays in hand. */
function useFindingsInHand(): Findings | null {
  const findings = useWorkbenchState((state) => state.findings)
  const pulling = useWorkbenchState((state) => state.history.gesture !== null)
  const last = useRef(findings)
  if (findings) last.current = findings
  return findings ?? (pulling ? last.current : null)
}

/** The others would only crowd the view: they are seen while they are in hand. */
const alwaysSeen: ReadonlySet<CutId> = new Set(['tibia', 'femur-distal', 'femur-posterior'])

interface SheetProps {
  readonly sheet: CutSheet
  readonly colours: SceneColours
  readonly active: boolean
}

const Sheet = memo(function Sheet({ sheet, colours, active }: SheetProps) {
  const { store } = useWorkbench()
  const invalidate = useThree((three) => three.invalidate)
  const { face, frame } = useMemo(() => geometriesOf(sheet), [sheet])
  useEffect(() => {
    invalidate()
    return () => {
      face.dispose()
      frame.dispose()
    }
  }, [face, frame, invalidate])
  useEffect(() => invalidate())
  const filling = useRef<MeshBasicMaterial>(null)
  const edge = useRef<LineBasicMaterial>(null)
  useAppearing(filling, active ? 0.2 : 0.05)
  useAppearing(edge, active ? 0.95 : 0.4)
  return (
    <>
      <mesh
        name={`sheet ${sheet.id}`}
        geometry={face}
        renderOrder={3}
        onClick={(event) => {
          if (event.delta > 3 || active) return
          event.stopPropagation()
          store.getState().chooseCut(sheet.id)
        }}
      >
        <meshBasicMaterial ref={filling} color={colours.steel} transparent side={DoubleSide} depthWrite={false} />
      </mesh>
      <lineLoop geometry={frame} renderOrder={4}>
        <lineBasicMaterial ref={edge} color={colours.steel} transparent />
      </lineLoop>
    </>
  )
})

function geometriesOf(sheet: CutSheet): { face: BufferGeometry; frame: BufferGeometry } {
  const corners = sheetCorners(sheet)
  const face = new BufferGeometry()
  face.setAttribute('position', new Float32BufferAttribute(corners.flat(), 3))
  face.setIndex([0, 1, 2, 0, 2, 3])
  const frame = new BufferGeometry()
  frame.setAttribute('position', new Float32BufferAttribute(corners.flat(), 3))
  return { face, frame }
}
