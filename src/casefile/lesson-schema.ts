import { z } from 'zod'
import { lookNames } from './lesson.ts'
import { layerNames, stageNames } from './saved-view.ts'
import { cameraSchema } from './view-schema.ts'

z.config({ jitless: true })

const path = z.string().min(1).max(200)
const number = z.number().min(-1e9).max(1e9)

const step = z.strictObject({
  title: z.string().max(200),
  words: z.string().max(4000),
  notes: z.string().max(4000).exactOptional(),
  stage: z.enum(stageNames),
  edits: z
    .array(z.strictObject({ path, value: z.union([number, z.string().max(200), z.boolean(), z.null()]) }))
    .max(200),
  look: z.enum(lookNames).exactOptional(),
  at: z.enum(['all', 'knee']).exactOptional(),
  camera: cameraSchema.exactOptional(),
  lift: z.boolean().exactOptional(),
  hide: z.array(z.enum(layerNames)).max(layerNames.length).exactOptional(),
  boneOpacity: z.number().min(0).max(1).exactOptional(),
  predict: z
    .strictObject({
      question: z.string().max(1000),
      answers: z.array(z.string().max(300)).min(2).max(8),
      right: z.strictObject({ path, above: z.array(number).min(1).max(7) }),
    })
    .exactOptional(),
  ownCut: z
    .strictObject({
      ask: z.string().max(1000),
      fields: z
        .array(z.strictObject({ path, from: number }))
        .min(1)
        .max(12),
    })
    .exactOptional(),
})

export const lessonSchema = z.strictObject({
  id: z.string().min(1).max(100),
  title: z.string().max(200),
  sentence: z.string().max(1000),
  demo: z.string().max(100).nullable(),
  steps: z.array(step).max(200),
})
