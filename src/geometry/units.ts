import type { Vec3 } from './vec.ts'

/** Units a surface file may be in; STL and PLY do not say. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'inch'
export type UnitGuess = LengthUnit | 'unknown'

export const MM_PER_UNIT: Readonly<Record<LengthUnit, number>> = { mm: 1, cm: 10, m: 1000, inch: 25.4 }

/** What is known of the bone when its unit is guessed. */
export type SizedBone = 'femur' | 'tibia' | 'unknown'

/** Ranges of the longest and the middle principal extent, mm. */
interface Shape {
  readonly longMm: readonly [number, number]
  readonly middleMm: readonly [number, number]
  readonly bones: readonly SizedBone[]
}

/**
 * What models of leg bones measure. Whole lengths: femur 463 ± 32, tibia 369 ± 28 (Strecker et al, J Orthop Trauma
 * 1997;11:440; check values §10), widened to about five standard deviations; widths: epicondylar 72 to 83 ± 4,
 * bicondylar to 89 ± 4 (Kapur et al; Terzidis et al, Anat Res Int 2012; check values §10), plus head and neck of a
 * femur. The bands for slender bones, cut pieces and patellae are common practice, no source.
 */
const SHAPES: readonly Shape[] = [
  { longMm: [300, 620], middleMm: [55, 150], bones: ['femur', 'unknown'] },
  { longMm: [250, 520], middleMm: [50, 120], bones: ['tibia', 'unknown'] },
  // A fibula.
  { longMm: [240, 480], middleMm: [18, 60], bones: ['unknown'] },
  // A knee, hip or ankle part cut off in a scan; a subchondral shell is narrower.
  { longMm: [50, 300], middleMm: [41, 130], bones: ['femur', 'tibia', 'unknown'] },
  // A patella.
  { longMm: [30, 62], middleMm: [26, 60], bones: ['unknown'] },
]

/**
 * The one unit in which a surface with these principal extents (in the file's unit, longest first) has the size of a
 * leg bone or of a part of one; `unknown` when several units fit, or none.
 */
export function guessUnit(extents: Vec3, bone: SizedBone = 'unknown'): UnitGuess {
  const fitting = UNITS.filter((unit) => isPlausible(extents, unit, bone))
  return fitting.length === 1 ? fitting[0]! : 'unknown'
}

/** One way to read a file's numbers, for asking: nothing is converted before someone has chosen. */
export interface UnitChoice {
  readonly unit: LengthUnit
  /** Multiply the file's numbers by this to get mm. */
  readonly factor: number
  /** How large the surface would be, longest extent first, mm. */
  readonly extentsMm: Vec3
  /** Whether that is the size of a leg bone or of a part of one. */
  readonly plausible: boolean
}

/** All four units with the size each would give the surface. `extents` as for `guessUnit`. */
export function unitChoices(extents: Vec3, bone: SizedBone = 'unknown'): UnitChoice[] {
  return UNITS.map((unit) => {
    const factor = MM_PER_UNIT[unit]
    const extentsMm: Vec3 = [extents[0] * factor, extents[1] * factor, extents[2] * factor]
    return { unit, factor, extentsMm, plausible: isPlausible(extents, unit, bone) }
  })
}

const UNITS = Object.keys(MM_PER_UNIT) as readonly LengthUnit[]

function isPlausible(extents: Vec3, unit: LengthUnit, bone: SizedBone): boolean {
  return SHAPES.some(
    ({ longMm, middleMm, bones }) =>
      bones.includes(bone) && isWithin(extents[0], unit, longMm) && isWithin(extents[1], unit, middleMm),
  )
}

function isWithin(extent: number, unit: LengthUnit, [low, high]: readonly [number, number]): boolean {
  const mm = extent * MM_PER_UNIT[unit]
  return mm >= low && mm <= high
}
