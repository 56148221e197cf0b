import type { RepairStep } from '../../geometry/repair.ts'

/** What a repair is called as a step of the case. */
export const repairWords: Readonly<Record<RepairStep['kind'], string>> = {
  weld: 'weld borders',
  'drop-duplicates': 'drop duplicates',
  'drop-fins': 'drop fins',
  'mend-degenerate': 'mend flat triangles',
  orient: 'turn outward',
  'drop-islands': 'drop islands',
  'keep-piece': 'one piece of the file',
  'fill-holes': 'fill holes',
  'cap-plane': 'close the cut end',
  'split-edges': 'part shared edges',
}
