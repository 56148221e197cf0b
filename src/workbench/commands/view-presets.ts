import { type PresetName, presetNames } from '../store/viewport-slice.ts'
import { type Command, needsBone, needsPlan } from './command.ts'

export const presetLabels: Readonly<Record<PresetName, string>> = {
  anterior: 'Anterior',
  posterior: 'Posterior',
  medial: 'Medial',
  lateral: 'Lateral',
  proximal: 'Proximal',
  distal: 'Distal',
  'along-cut': 'Along cut',
  'onto-cut': 'Onto cut',
}

const lookFrom = (preset: PresetName, number: number): Command => ({
  id: `view.${preset}`,
  label: `Look ${preset.includes('cut') ? presetLabels[preset].toLowerCase() : `from ${presetLabels[preset].toLowerCase()}`}`,
  group: 'View',
  keys: [String(number)],
  enabled: preset.includes('cut') ? needsPlan : needsBone,
  run: ({ store }) => store.getState().moveCamera({ kind: 'preset', preset }),
})

export const viewPresets: readonly Command[] = presetNames.map((preset, k) => lookFrom(preset, k + 1))
