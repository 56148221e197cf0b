import type { Lesson } from '../../../casefile/lesson.ts'

export const limitCosts: Lesson = {
  id: 'limit-costs',
  title: 'What a limit costs',
  sentence: 'An alignment limit is a choice; here is what it changes, in millimetres and degrees.',
  demo: 'curlew',
  steps: [
    {
      title: 'Without a limit',
      words:
        'The kinematic cuts give back the native surfaces: HKA {{after.hkaDeg}}, MPTA {{after.mptaDeg}}, LDFA {{after.ldfaDeg}}. Every site differs from its component by less than half a millimetre.',
      stage: 'cuts',
      edits: [
        { path: 'cuts', value: null },
        { path: 'recipe', value: 'kinematic' },
      ],
      look: 'anterior',
      at: 'knee',
    },
    {
      title: 'With the limits entered',
      words:
        'The limits say: the limb within three degrees of straight, both joint lines between 85° and 95°. They are common practice, entered by hand, and no proof. Held to them the knee is planned at HKA {{after.hkaDeg}}, MPTA {{after.mptaDeg}}, LDFA {{after.ldfaDeg}}. Where nothing has changed since the step before, no limit was hit.',
      stage: 'cuts',
      edits: [{ path: 'recipe', value: 'restricted' }],
      look: 'anterior',
    },
    {
      title: 'What it costs at the sites',
      words:
        'What taken and put back differ by shows where the joint line had to move: distal medial by {{sites.femur-distal-medial.differenceMm}}, distal lateral by {{sites.femur-distal-lateral.differenceMm}}; tibia medial by {{sites.tibia-medial.differenceMm}}, lateral by {{sites.tibia-lateral.differenceMm}}. Zero everywhere means that the limits cost this knee nothing. Bone taken from the tibia: {{volumes.tibiaRemovedMm3}}.',
      stage: 'cuts',
      edits: [],
      look: 'anterior',
      lift: true,
    },
    {
      title: 'All the way to square',
      words:
        'The mechanical recipe is the strictest limit of all: HKA {{after.hkaDeg}}. Tibia medial differs by {{sites.tibia-medial.differenceMm}}, distal lateral by {{sites.femur-distal-lateral.differenceMm}}. What the bones no longer give, the ligaments must.',
      notes: 'Ligaments are not judged by this program.',
      stage: 'cuts',
      edits: [{ path: 'recipe', value: 'mechanical' }],
      look: 'anterior',
      lift: true,
    },
  ],
}
