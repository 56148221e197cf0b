import { z } from 'zod'
import { layerNames, stageNames } from './saved-view.ts'

z.config({ jitless: true })

const coordinate = z.number().min(-1e5).max(1e5)
const axis = z.number().min(-1.001).max(1.001)

export const cameraSchema = z.strictObject({
  projection: z.enum(['orthographic', 'perspective']),
  target: z.tuple([coordinate, coordinate, coordinate]),
  direction: z.tuple([axis, axis, axis]),
  up: z.tuple([axis, axis, axis]),
  visibleHeightMm: z.number().min(0.1).max(1e5),
})

export const viewSchema = z.strictObject({
  name: z.string().max(100),
  stage: z.enum(stageNames),
  camera: cameraSchema,
  visibility: z.strictObject({
    hidden: z.array(z.enum(layerNames)).max(layerNames.length),
    liftPieces: z.boolean(),
    boneOpacity: z.number().min(0).max(1),
  }),
})
