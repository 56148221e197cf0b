import type { Findings } from '../findings.ts'
import { shownWithUnit } from './numbers.ts'

/** One fit or shape of the bones in words. */
export interface ShapeLine {
  readonly label: string
  /** What it measures; null where the scan does not show it. */
  readonly words: string | null
}

/** Fits and shapes of the femur as window and command line say them, in one order. */
export function shapeLines({ fits, shape }: Pick<Findings, 'fits' | 'shape'>): readonly ShapeLine[] {
  const { femoralHead: head, condylarCylinder: cylinder } = fits
  const { trochlearGroove: groove, femoralBow: bow, medialSulcus: sulcus, epicondyles } = shape
  const mm = (value: number) => shownWithUnit(value, 'mm')
  const deg = (value: number) => shownWithUnit(value, 'deg')
  const dome = (flat: boolean | undefined): string | null =>
    flat === undefined
      ? null
      : flat
        ? 'flat dome: its highest point may lie some millimetres away'
        : 'stands out clearly'
  return [
    { label: 'Femoral head', words: head && `sphere, radius ${mm(head.radiusMm)}, residual ${mm(head.rmsMm)}` },
    {
      label: 'Condylar cylinder',
      words:
        cylinder &&
        `radius ${mm(cylinder.radiusMm)}, residual ${mm(cylinder.rmsMm)}, over the flexion arc ${cylinder.arcDeg[0]}° to ${cylinder.arcDeg[1]}°`,
    },
    {
      label: 'Trochlear groove',
      words:
        groove &&
        `proximal end ${deg(Math.abs(groove.proximalLateralDeg))} ${groove.proximalLateralDeg >= 0 ? 'lateral' : 'medial'} to the ${groove.against}, ${mm(Math.abs(groove.lateralMm))} ${groove.lateralMm >= 0 ? 'lateral' : 'medial'} of the knee centre, up to ${mm(groove.depthMm)} deep, residual ${mm(groove.rmsMm)}`,
    },
    {
      label: 'Femoral bow',
      words:
        bow &&
        `${mm(bow.mm)} over ${mm(bow.chordMm)}: ${mm(Math.abs(bow.anteriorMm))} to the ${bow.anteriorMm >= 0 ? 'front' : 'back'}, ${mm(Math.abs(bow.lateralMm))} ${bow.lateralMm >= 0 ? 'laterally' : 'medially'}`,
    },
    { label: 'Medial epicondyle', words: dome(epicondyles.medialFlatDome) },
    {
      label: 'Its sulcus',
      words: sulcus
        ? `${mm(sulcus.depthMm)} deep, ${mm(sulcus.fromProminenceMm)} from the prominence`
        : 'none stands out on this surface; the prominence stands in',
    },
    { label: 'Lateral epicondyle', words: dome(epicondyles.lateralFlatDome) },
  ]
}
