import type { DrawnShapeId } from '../anatomy/drawn-shapes.ts'
import type { Findings } from '../findings.ts'
import { shownWithUnit } from './numbers.ts'

/** One fit or shape of the bones in words. */
export interface ShapeLine {
  readonly label: string
  /** What it measures; null where the scan does not show it. */
  readonly words: string | null
  /** Where it stands in the findings: its warnings are looked up there. */
  readonly path: string
  /** What of it can be drawn; absent where it is a judgement. */
  readonly draws?: DrawnShapeId
}

/** Fits and shapes of both bones as window and command line say them, in one order. */
export function shapeLines(
  found: Pick<Findings, 'fits' | 'shape' | 'landmarks' | 'angles' | 'references' | 'bones'>,
): readonly ShapeLine[] {
  const { fits, shape } = found
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
    {
      label: 'Femoral head',
      path: 'fits.femoralHead',
      draws: 'femoral-head',
      words: head && `sphere, radius ${mm(head.radiusMm)}, residual ${mm(head.rmsMm)}`,
    },
    {
      label: 'Condylar cylinder',
      path: 'fits.condylarCylinder',
      draws: 'condylar-cylinder',
      words:
        cylinder &&
        `radius ${mm(cylinder.radiusMm)}, residual ${mm(cylinder.rmsMm)}, over the flexion arc ${cylinder.arcDeg[0]}° to ${cylinder.arcDeg[1]}°`,
    },
    {
      label: 'Trochlear groove',
      path: 'shape.trochlearGroove',
      draws: 'trochlear-groove',
      words:
        groove &&
        `proximal end ${deg(Math.abs(groove.proximalLateralDeg))} ${groove.proximalLateralDeg >= 0 ? 'lateral' : 'medial'} to the ${groove.against}, ${mm(Math.abs(groove.lateralMm))} ${groove.lateralMm >= 0 ? 'lateral' : 'medial'} of the knee centre, up to ${mm(groove.depthMm)} deep, residual ${mm(groove.rmsMm)}`,
    },
    {
      label: 'Femoral bow',
      path: 'shape.femoralBow',
      draws: 'femoral-shaft',
      words:
        bow &&
        `${mm(bow.mm)} over ${mm(bow.chordMm)}: ${mm(Math.abs(bow.anteriorMm))} to the ${bow.anteriorMm >= 0 ? 'front' : 'back'}, ${mm(Math.abs(bow.lateralMm))} ${bow.lateralMm >= 0 ? 'laterally' : 'medially'}`,
    },
    { label: 'Medial epicondyle', path: 'shape.epicondyles', words: dome(epicondyles.medialFlatDome) },
    {
      label: 'Its sulcus',
      path: 'shape.medialSulcus',
      draws: 'medial-sulcus',
      words: sulcus
        ? `${mm(sulcus.depthMm)} deep, ${mm(sulcus.fromProminenceMm)} from the prominence`
        : 'none stands out on this surface; the prominence stands in',
    },
    { label: 'Lateral epicondyle', path: 'shape.epicondyles', words: dome(epicondyles.lateralFlatDome) },
    {
      label: 'Medial plateau',
      path: 'angles.slopeMedialDeg',
      draws: 'plateau-medial',
      words: plateauWords(found, 'Medial'),
    },
    {
      label: 'Lateral plateau',
      path: 'angles.slopeLateralDeg',
      draws: 'plateau-lateral',
      words: plateauWords(found, 'Lateral'),
    },
  ]
}

function plateauWords(
  { landmarks, angles, references, bones }: Pick<Findings, 'landmarks' | 'angles' | 'references' | 'bones'>,
  side: 'Medial' | 'Lateral',
): string | null {
  const slopeDeg = angles[`slope${side}Deg`]
  if (slopeDeg === null) return null
  const residualMm = landmarks[`plateau${side}`]?.residualMm ?? null
  const against =
    bones.tibia.truncated || references.slopeAxis === 'proximal-shaft' ? 'proximal shaft axis' : 'mechanical axis'
  const residual = residualMm === null ? '' : `, residual ${shownWithUnit(residualMm, 'mm')}`
  return `plane through the load-bearing patch${residual}, slope ${shownWithUnit(slopeDeg, 'deg')} against the ${against}`
}
