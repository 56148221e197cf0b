import type { Lesson } from '../../../casefile/lesson.ts'

export const edgeLoading: Lesson = {
  id: 'edge-loading',
  title: 'How an edge gets loaded',
  sentence: 'Tilt and shift walk the contact towards the rim of the bearing.',
  demo: 'heron',
  steps: [
    {
      title: 'Contact well inside',
      words:
        'Each condyle rests in its dish. Medially the contact covers {{loading.feet-together.vertical.bearing.medial.areaMm2}} at a peak of {{loading.feet-together.vertical.bearing.medial.peakMpa}}, {{loading.feet-together.vertical.bearing.medial.edgeDistanceMm}} away from the rim.',
      stage: 'loading',
      edits: [
        { path: 'cuts', value: null },
        { path: 'recipe', value: 'kinematic' },
        { path: 'stance.pose', value: 'feet-together' },
      ],
      look: 'anterior',
      at: 'all',
    },
    {
      title: 'On one leg',
      words:
        'Standing on one leg the knee carries {{loading.one-leg.vertical.loadN}} instead of {{loading.feet-together.vertical.loadN}}. The medial share becomes {{loading.one-leg.vertical.medialShare}} and the peak {{loading.one-leg.vertical.bearing.medial.peakMpa}}.',
      stage: 'loading',
      edits: [{ path: 'stance.pose', value: 'one-leg' }],
      look: 'anterior',
    },
    {
      title: 'Push the tibia into varus',
      words:
        'The tibial cut now stands at {{cuts.tibia.varusDeg}} of varus. The rim is now {{loading.one-leg.vertical.bearing.medial.edgeDistanceMm}} away medially; the peak is {{loading.one-leg.vertical.bearing.medial.peakMpa}}.',
      stage: 'loading',
      edits: [
        { path: 'cuts.tibia.varusDeg', value: 8 },
        { path: 'cuts.tibia.depthMm', value: 12 },
      ],
      look: 'anterior',
      predict: {
        question: 'The tray tilts into varus. How much of the load goes through the medial side now?',
        answers: ['More than 60 %', 'Between 40 and 60 %', 'Less than 40 %'],
        right: { path: 'loading.one-leg.vertical.medialShare', above: [0.6, 0.4] },
      },
    },
    {
      title: 'What this model leaves out',
      words:
        'The layer is elastic, the components are generic, the ligaments are not there. The direction is what to take away: more tilt, less distance to the rim, less area, more pressure.',
      stage: 'loading',
      edits: [],
      look: 'anterior',
    },
  ],
}
