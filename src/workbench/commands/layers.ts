import type { Layer } from '../store/viewport-slice.ts'
import type { Command } from './command.ts'

const layerLabels: readonly (readonly [Layer, string])[] = [
  ['femur', 'Show femur'],
  ['tibia', 'Show tibia'],
  ['components', 'Show components'],
  ['pieces', 'Show removed pieces'],
  ['landmarks', 'Show landmarks'],
  ['sheets', 'Show cut planes'],
]

/** What is drawn and what is not. */
export const layers: readonly Command[] = layerLabels.map(([layer, label]) => ({
  id: `view.layer.${layer}`,
  label,
  group: 'View',
  checked: (state) => !state.hidden.has(layer),
  run: ({ store }) => store.getState().toggleLayer(layer),
}))
