import type { Lesson } from '../../../casefile/lesson.ts'

/** The first-run tour: one minute through the six stages. */
export const firstLook: Lesson = {
  id: 'first-look',
  title: 'One-minute tour',
  sentence: 'Through the six stages on a made-up knee.',
  demo: 'heron',
  steps: [
    {
      title: 'Bones',
      words:
        'Drop a femur and a tibia anywhere in the window. Each is inspected first; side and bone are read from the shape.',
      stage: 'bones',
      edits: [],
      look: 'anterior',
      at: 'all',
    },
    {
      title: 'Landmarks',
      words: 'Every landmark and axis is proposed, with how well it fits. Choose one and click the bone to move it.',
      stage: 'landmarks',
      edits: [],
    },
    {
      title: 'Cuts',
      words:
        'Choose a recipe, or pull a cut by its arrow and its arc. On the right, what each cut takes stands beside what the component puts back: here {{sites.tibia-medial.totalMm}} for {{sites.tibia-medial.componentMm}} on the medial tibia.',
      stage: 'cuts',
      edits: [],
      look: 'anterior',
      at: 'knee',
      lift: true,
    },
    {
      title: 'Stance',
      words:
        'The leg stands up. The strip below shows the tray as a spirit level: {{stance.feet-together.trayToFloorCoronalDeg}} to the floor with the feet together. It moves with every cut, whatever stage is open.',
      stage: 'stance',
      edits: [{ path: 'stance.pose', value: 'feet-together' }],
      look: 'anterior',
      at: 'all',
    },
    {
      title: 'Loading',
      words:
        'What the tilt does: shear to compression {{loading.feet-together.vertical.shearToCompression}} for a vertical load, {{loading.feet-together.tibial-axis.shearToCompression}} along the tibia. Both are always shown.',
      stage: 'loading',
      edits: [],
    },
    {
      title: 'Report',
      words:
        'One sheet to take along: a rehearsal expectation, not a guide for a cut. Every command is under “Find a command”, and the question mark shows every key.',
      stage: 'report',
      edits: [],
    },
  ],
}
