import type { Lesson } from '../../../casefile/lesson.ts'

export const thicknessInOut: Lesson = {
  id: 'thickness-in-out',
  title: 'Thickness in equals thickness out',
  sentence: 'Bone, cartilage, saw and wear at six places, against what the component puts back.',
  demo: 'plover',
  steps: [
    {
      title: 'Six places',
      words:
        'Two on the distal femur, two on its back, two on the tibia. At each the cut takes a total: bone and cartilage of the piece, the kerf of the saw, and what had worn away before. The component puts its own thickness back.',
      stage: 'cuts',
      edits: [
        { path: 'cuts', value: null },
        { path: 'recipe', value: 'kinematic' },
      ],
      look: 'anterior',
      at: 'knee',
      lift: true,
    },
    {
      title: 'What the caliper would read',
      words:
        'The lateral tibial piece should measure {{sites.tibia-lateral.pieceMm}}; the saw takes {{sites.tibia-lateral.kerfMm}} more; together with wear that is {{sites.tibia-lateral.totalMm}} out, {{sites.tibia-lateral.componentMm}} in.',
      stage: 'cuts',
      edits: [],
      look: 'lateral',
      lift: true,
    },
    {
      title: 'The worn side',
      words:
        'Medially {{sites.tibia-medial.wornMm}} had gone before the saw came. That leaves {{sites.tibia-medial.pieceMm}} for the piece, and nothing is lacking: what has worn counts as taken.',
      stage: 'cuts',
      edits: [],
      look: 'anterior',
      lift: true,
      predict: {
        question: 'Cartilage worn away medially counts as taken. How thick should the medial piece be?',
        answers: ['Over 8 mm, like an unworn one', 'Between 6 and 8 mm', 'Under 6 mm'],
        right: { path: 'sites.tibia-medial.pieceMm', above: [8, 6] },
      },
    },
    {
      title: 'Your turn',
      words:
        'The kinematic cut puts back {{sites.tibia-medial.componentMm}} on either side: it takes {{sites.tibia-medial.pieceMm}} of piece medially and {{sites.tibia-lateral.pieceMm}} laterally. What you gave away on one side, the joint line or the ligaments have to give.',
      notes:
        'Pull the handles of the cut in the view or type the numbers. The ledger stays covered until the comparison.',
      stage: 'cuts',
      edits: [
        { path: 'cuts', value: null },
        { path: 'recipe', value: 'kinematic' },
      ],
      look: 'anterior',
      at: 'knee',
      ownCut: {
        ask: 'Place the tibial cut so that as much is taken as is put back on both sides. It begins square to the tibia.',
        fields: [
          { path: 'cuts.tibia.varusDeg', from: 0 },
          { path: 'cuts.tibia.depthMm', from: 6 },
        ],
      },
    },
    {
      title: 'Forget the wear',
      words:
        'Suppose nobody counts the wear. The recipe now cuts the medial side as if it were whole; the pieces measure {{sites.tibia-medial.pieceMm}} medially and {{sites.tibia-lateral.pieceMm}} laterally. They match each other, and whatever had worn stays in the limb as varus.',
      stage: 'cuts',
      edits: [
        { path: 'wear.medialMm', value: 0 },
        { path: 'wear.lateralMm', value: 0 },
      ],
      look: 'anterior',
      lift: true,
    },
  ],
}
