import { useMemo } from 'react'
import { DoubleSide } from 'three'
import { mapPoint } from '../../geometry/rigid.ts'
import { addScaled, type Vec3 } from '../../geometry/vec.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { Line } from './line.tsx'
import type { Placement } from './placement.ts'

interface FloorProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** The floor the leg stands on, the plumb line from the hip, and on the loading stage the two directions of load. */
export function Floor({ placement, colours }: FloorProps) {
  const stage = useWorkbenchState((state) => state.stage)
  const findings = useWorkbenchState((state) => state.findings)
  const tray = useWorkbenchState((state) => state.plan?.tray)
  const risen = useWorkbenchState((state) => state.risen)
  const { stance } = useShownStance()
  const marks = useMemo(() => {
    if (placement.frame !== 'stance' || !stance || !findings) return null
    // On its way up the leg has no plumb line and no load yet.
    if (risen < 1) return { hip: null, ankle: null, foot: null, tray: null }
    const at = (id: 'hipCentre' | 'ankleCentre') => {
      const landmark = findings.landmarks[id]
      return landmark
        ? mapPoint(id === 'hipCentre' ? stance.stanceFromFemur : stance.stanceFromTibia, landmark.mm)
        : null
    }
    const hip = at('hipCentre')
    return {
      hip,
      ankle: at('ankleCentre'),
      foot: hip ? ([hip[0], 0, hip[2]] as Vec3) : null,
      tray: tray ? mapPoint(stance.stanceFromTibia, tray.centre) : null,
    }
  }, [placement.frame, stance, findings, tray, risen])
  if (!marks) return null
  const z = marks.hip?.[2] ?? 0
  return (
    <>
      <mesh rotation={[-Math.PI / 2, 0, 0]} position={[0, -0.5, z]}>
        <planeGeometry args={[420, 520]} />
        <meshBasicMaterial color={colours.floor} transparent opacity={0.1} side={DoubleSide} depthWrite={false} />
      </mesh>
      <Line points={square(z)} colour={colours.floor} />
      {marks.hip && marks.foot ? <Line points={[marks.hip, marks.foot]} colour={colours['ink-soft']} dashed /> : null}
      {stage === 'loading' && marks.tray ? (
        <>
          <LoadArrow tip={marks.tray} from={addScaled(marks.tray, [0, 1, 0], 150)} colour={colours.taken} />
          {marks.ankle ? (
            <Line
              points={[marks.ankle, addScaled(marks.tray, direction(marks.ankle, marks.tray), 150)]}
              colour={colours.steel}
            />
          ) : null}
        </>
      ) : null}
    </>
  )
}

const square = (z: number): readonly Vec3[] =>
  [
    [1, 1],
    [-1, 1],
    [-1, -1],
    [1, -1],
    [1, 1],
  ].map(([a, b]) => [a! * 210, 0, z + b! * 260])

function direction(from: Vec3, to: Vec3): Vec3 {
  const d: Vec3 = [to[0] - from[0], to[1] - from[1], to[2] - from[2]]
  const l = Math.hypot(...d) || 1
  return [d[0] / l, d[1] / l, d[2] / l]
}

function LoadArrow({ tip, from, colour }: { readonly tip: Vec3; readonly from: Vec3; readonly colour: string }) {
  return (
    <>
      <Line points={[from, tip]} colour={colour} />
      <mesh position={[tip[0], tip[1] + 7, tip[2]]} rotation={[Math.PI, 0, 0]} renderOrder={6}>
        <coneGeometry args={[4, 14, 20]} />
        <meshBasicMaterial color={colour} depthTest={false} transparent />
      </mesh>
    </>
  )
}
