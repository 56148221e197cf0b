import { expect, test } from 'vitest'
import { writeContainer } from '../../src/casefile/container.ts'
import { newCase } from '../../src/casefile/document.ts'
import type { SavedView } from '../../src/casefile/saved-view.ts'
import { openCaseFile } from '../../src/workbench/live/open-case-file.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'
import type { Workbench } from '../../src/workbench/workbench.ts'
import { expectOk } from '../near.ts'

const lastView: SavedView = {
  name: '',
  stage: 'stance',
  camera: {
    projection: 'perspective',
    target: [1, 2, 3],
    direction: [0, 0, 1],
    up: [0, 1, 0],
    visibleHeightMm: 250,
  },
  visibility: { hidden: ['components'], liftPieces: false, boneOpacity: 0.35 },
}

test('where the window looked when the case was saved comes back with it, and is no step to undo', async () => {
  const store = createWorkbenchStore()
  const bytes = expectOk(await writeContainer({ document: { ...newCase, lastView }, meshes: new Map() }))
  await openCaseFile({ store } as unknown as Workbench, new File([bytes as Uint8Array<ArrayBuffer>], 'kept.floorline'))
  const { stage, hidden, liftPieces, seeThrough, cameraRequest, history } = store.getState()
  expect({ stage, liftPieces, seeThrough }).toEqual({ stage: 'stance', liftPieces: false, seeThrough: true })
  expect([...hidden]).toEqual(['components'])
  expect(cameraRequest).toEqual({ kind: 'camera', camera: lastView.camera })
  expect(history.past).toEqual([])
})
