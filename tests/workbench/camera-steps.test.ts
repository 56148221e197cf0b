import { Vector3 } from 'three'
import { expect, test } from 'vitest'
import { CameraSteps } from '../../src/workbench/scene/camera-steps.ts'
import type { Viewpoint } from '../../src/workbench/scene/camera-way.ts'

const at = (x: number): Viewpoint => ({
  target: new Vector3(x, 0, 0),
  direction: new Vector3(1, 0, 0),
  visibleHeight: 200,
})

test('the camera goes back the way it came and forward again; a new way forgets the old one ahead', () => {
  const steps = new CameraSteps()
  steps.leave(at(0))
  steps.leave(at(1))
  expect(steps.take('back', at(2))?.target.x).toBe(1)
  expect(steps.take('back', at(1))?.target.x).toBe(0)
  expect(steps.take('back', at(0))).toBe(null)
  expect(steps.take('forward', at(0))?.target.x).toBe(1)
  steps.leave(at(1))
  expect(steps.take('forward', at(7))).toBe(null)
})

test('a place left without moving is no step', () => {
  const steps = new CameraSteps()
  let counts = { back: 0, forward: 0 }
  steps.onChange = (now) => {
    counts = now
  }
  steps.leave(at(3))
  steps.leave(at(3))
  expect(counts).toEqual({ back: 1, forward: 0 })
  expect(steps.take('back', at(3))).toBe(null)
  expect(counts).toEqual({ back: 0, forward: 0 })
})
