import type { Warning } from '../failure.ts'

/** Half a 95 % interval beyond which an angle says nothing a plan could use, degrees (our rule, no source). */
const coronalDeg = 5
const rotationDeg = 15

const rotations = ['angles.posteriorCondylarDeg', 'angles.anteversionDeg', 'angles.tibialTorsionDeg', 'angles.kneePose']

/** A warning for the angles whose intervals are too wide to be used, naming each with its half width; none where all are narrow. */
export function tooWide(intervals: Readonly<Record<string, readonly [number, number]>>): readonly Warning[] {
  const wide = Object.entries(intervals).filter(([path, [low, high]]) => {
    if (!path.startsWith('angles.') || path.endsWith('Mm')) return false
    const limit = rotations.some((rotation) => path.startsWith(rotation)) ? rotationDeg : coronalDeg
    return (high - low) / 2 > limit
  })
  if (wide.length === 0) return []
  const told = wide.map(([path, [low, high]]) => `${nameOf(path)} ±${((high - low) / 2).toFixed(0)}°`)
  return [
    {
      code: 'intervals/wide',
      message: `Too uncertain to be used, by what the landmarks can err on these meshes (95 %): ${told.join(', ')}. Set the doubtful landmarks by hand.`,
      spoils: wide.map(([path]) => path),
    },
  ]
}

const nameOf = (path: string): string =>
  path
    .replace(/^angles\.(kneePose\.)?/, '')
    .replace(/Deg$/, '')
    .replace(/([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`)
