import type { Lesson } from '../../../casefile/lesson.ts'

export const tiltedStandsLevel: Lesson = {
  id: 'tilted-stands-level',
  title: 'Why a tilted cut can stand level',
  sentence: 'Tilted on the bench, level on the floor; and why that alone settles nothing.',
  demo: 'curlew',
  steps: [
    {
      title: 'The joint line leans',
      words:
        'This tibia meets its joint line at {{angles.mptaDeg}} instead of 90°. The femur answers with {{angles.ldfaDeg}}. Together they make a limb of {{angles.hkaDeg}}: nearly straight, over a joint line that is not square to it.',
      stage: 'landmarks',
      edits: [
        { path: 'cuts', value: null },
        { path: 'recipe', value: 'kinematic' },
        { path: 'stance.pose', value: 'feet-together' },
      ],
      look: 'anterior',
      at: 'all',
    },
    {
      title: 'A cut along the joint line',
      words:
        'The kinematic cut follows the native line. On the bench it is {{cuts.tibia.varusDeg}} of varus: it looks wrong to anyone who was taught to cut at 90°.',
      stage: 'cuts',
      edits: [],
      look: 'anterior',
      at: 'knee',
      lift: true,
    },
    {
      title: 'Now let the leg stand',
      words:
        'With the feet together the tibia leans {{stance.feet-together.tibiaLeanDeg}}. The lean takes the tilt of the cut away: the tray stands {{stance.feet-together.trayToFloorCoronalDeg}} to the floor.',
      stage: 'stance',
      edits: [],
      look: 'anterior',
      at: 'all',
      predict: {
        question: 'The cut is in varus. When the leg stands with its feet together, where is the tray?',
        answers: ['Medial side well down, as on the bench', 'Nearly level with the floor', 'Lateral side well down'],
        right: { path: 'stance.feet-together.trayToFloorCoronalDeg', above: [2, -2] },
      },
    },
    {
      title: 'And the square cut?',
      words:
        'The mechanical cut is square to the tibia, so on the floor it keeps the whole lean: {{stance.feet-together.trayToFloorCoronalDeg}}. Square on the bench, tilted on the floor.',
      stage: 'stance',
      edits: [{ path: 'recipe', value: 'mechanical' }],
      look: 'anterior',
    },
    {
      title: 'Move the feet apart',
      words:
        'In natural stance the tray of the kinematic cut stands {{stance.natural.trayToFloorCoronalDeg}} to the floor, on one leg {{stance.one-leg.trayToFloorCoronalDeg}}. Level is a matter of where the foot is; the spacing here is assumed.',
      stage: 'stance',
      edits: [
        { path: 'recipe', value: 'kinematic' },
        { path: 'stance.pose', value: 'natural' },
      ],
      look: 'anterior',
    },
    {
      title: 'The counter-argument',
      words:
        'A level tray has less shear only if the load comes straight down. In walking it comes nearly along the tibia. Shear to compression now: {{loading.natural.vertical.shearCoronal}} coronal for a vertical load, {{loading.natural.tibial-axis.shearCoronal}} along the tibia. Level to the floor is a fact about standing, not a proof of a better cut.',
      notes:
        'Loads measured in the body stay close to the tray’s normal: Kutzner et al., J Biomech 2010;43:2164, five people.',
      stage: 'loading',
      edits: [],
      look: 'anterior',
    },
  ],
}
