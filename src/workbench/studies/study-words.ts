import { isStablePath, stablePaths } from '../../casefile/stable-paths.ts'

const words: Readonly<Record<string, string>> = {
  deg: '°',
  mm: 'mm',
  mm2: 'mm²',
  mm3: 'mm³',
  N: 'N',
  MPa: 'MPa',
  kg: 'kg',
}

/** `cuts.tibia.varusDeg` as "tibia varus, °". */
export function pathLabel(path: string): string {
  const rule = isStablePath(path) ? stablePaths[path] : null
  return withUnit(plain(path.replace(/^cuts\./, '')), rule?.kind === 'number' ? rule.unit : '')
}

const plain = (name: string): string =>
  name
    .replace(/(Deg|Mm2|Mm3|Mm|Mpa|N|Kg)$/, '')
    .replaceAll(/[.-]/g, ' ')
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()

const withUnit = (label: string, unit: string): string => (words[unit] ? `${label}, ${words[unit]}` : label)
