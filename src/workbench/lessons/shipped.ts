import type { Lesson } from '../../casefile/lesson.ts'
import { edgeLoading } from './shipped/edge-loading.ts'
import { firstLook } from './shipped/first-look.ts'
import { limitCosts } from './shipped/limit-costs.ts'
import { thicknessInOut } from './shipped/thickness-in-out.ts'
import { tiltedStandsLevel } from './shipped/tilted-stands-level.ts'

/** The lessons that come with the program. */
export const shippedLessons: readonly Lesson[] = [firstLook, tiltedStandsLevel, thicknessInOut, limitCosts, edgeLoading]
