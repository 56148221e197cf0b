import { scaleTopMpa } from '../../loading/pressure-peaks.ts'
import { divergingColour, type Rgb, sequentialColour } from '../charts/colour-map.ts'
import type { WorkbenchState } from '../store/state.ts'
import { formatNumber } from '../text/format.ts'
import { handText } from '../text/hand-words.ts'
import { cutLabels, sideLabels } from '../text/messages.ts'
import { sceneText } from '../text/scene-words.ts'
import { thicknessSpanMm } from './painted.ts'
import { residualSpan } from './residual-span.ts'
import { paintedPressure } from './use-paint.ts'

/** What the colours in a picture mean: its title, the colours from one end to the other, figures at ends and middle. */
export interface PictureLegend {
  readonly title: string
  readonly colourAt: (t: number) => Rgb
  readonly figures: readonly [string, string, string]
}

/** The legend of the map that is painted in the view now; null where none is. */
export function pictureLegend(state: WorkbenchState): PictureLegend | null {
  const diverging = (t: number) => divergingColour(2 * t - 1)
  if (state.stage === 'cuts' && state.pieceThickness?.differenceMm && !state.hidden.has('pieces')) {
    const span = thicknessSpanMm
    return {
      title: sceneText.thicknessLegend(cutLabels[state.pieceThickness.cut]),
      colourAt: diverging,
      figures: [`−${span}`, '0', `+${span} mm`],
    }
  }
  const pressure = paintedPressure(state)
  if (pressure && !state.hidden.has('components')) {
    const top = scaleTopMpa([pressure])
    return {
      title: sceneText.pressureLegend(pressure.direction),
      colourAt: sequentialColour,
      figures: ['0', formatNumber(top / 2), `${formatNumber(top)} MPa`],
    }
  }
  if (state.stage === 'landmarks' && state.handPatch?.residualMm && state.handFit?.ok) {
    const span = residualSpan(state.handFit.value)
    return { title: handText.residual, colourAt: diverging, figures: [`−${span}`, '0', `+${span} mm`] }
  }
  return null
}

/** Whose knee a picture shows: the side with where it comes from; null while it is not known. */
export function pictureHead({ findings, history, femurAnatomy, tibiaAnatomy }: WorkbenchState): string | null {
  const declared = history.present.side
  const side = findings?.side ?? declared ?? femurAnatomy?.side ?? tibiaAnatomy?.side
  if (!side) return null
  return sceneText.pictureHead(sideLabels[side], declared !== null)
}
