import { useMemo } from 'react'
import type { PlanPart } from '../../engine/plan-parts.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { pressurePeaks, scaleTopMpa } from '../../loading/pressure-peaks.ts'
import type { Rgb } from '../charts/colour-map.ts'
import type { WorkbenchState } from '../store/state.ts'
import { formatQuantity } from '../text/format.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbenchState } from '../workbench.ts'
import { paintCorners, pressureColour, thicknessColour } from './painted.ts'

/** A number beside a place of a painted part, in its bone's patient frame: the colours are never alone. */
export interface PaintedNumber {
  readonly name: string
  readonly at: Vec3
  readonly words: string
}

export interface Paint {
  readonly corners: Float32Array
  readonly numbers: readonly PaintedNumber[]
}

/** What is painted on this part now: thickness on the active cut's piece, pressure on the insert; null where nothing is. */
export function usePaint(part: PlanPart, plain: string): Paint | null {
  const thickness = useWorkbenchState((state) =>
    state.stage === 'cuts' && part.kind === 'removed' && state.pieceThickness?.cut === part.id && !state.history.gesture
      ? state.pieceThickness
      : null,
  )
  const pressure = useWorkbenchState((state) => (part.id === 'tibial' ? paintedPressure(state) : null))
  const tray = useWorkbenchState((state) => (part.id === 'tibial' ? (state.plan?.tray ?? null) : null))
  return useMemo(() => {
    if (thickness) {
      return {
        corners: paintCorners(part.display, rgbOf(plain), thicknessColour(thickness)),
        numbers: thickness.extremes.map(({ mm, differenceMm, at }, k) => ({
          name: `painted ${k === 0 ? 'thinnest' : 'thickest'}`,
          at,
          words: sceneText.paintedThickness(
            k === 0,
            formatQuantity(mm, 'mm'),
            formatQuantity(differenceMm ?? 0, 'mm', { signed: true }),
          ),
        })),
      }
    }
    if (!pressure || !tray) return null
    const top = scaleTopMpa([pressure])
    return {
      corners: paintCorners(part.display, rgbOf(plain), pressureColour(pressure, tray, top)),
      numbers: pressurePeaks(pressure, tray).map(({ mpa, at, side }) => ({
        name: `painted ${side}`,
        at,
        words: sceneText.paintedPressure(side, formatQuantity(mpa, 'MPa')),
      })),
    }
  }, [thickness, pressure, tray, part, plain])
}

/** The map of the load that is painted, in the pose shown; null while contact is not worked out. */
export function paintedPressure({ stage, pressurePainted, maps, depth, history }: WorkbenchState) {
  if (stage !== 'loading' || pressurePainted === null || depth !== 'full') return null
  const { pose } = history.present.stance
  return maps.find((map) => map.where === 'bearing' && map.pose === pose && map.direction === pressurePainted) ?? null
}

const rgbOf = (hex: string): Rgb => {
  const value = Number.parseInt(hex.slice(1, 7), 16)
  return Number.isFinite(value) ? [(value >> 16) & 255, (value >> 8) & 255, value & 255] : [200, 200, 200]
}
