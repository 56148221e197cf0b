import { type ThreeEvent, useFrame, useThree } from '@react-three/fiber'
import { useEffect, useRef, useState } from 'react'
import type { Group } from 'three'
import { addScaled, cross, dot } from '../../geometry/vec.ts'
import type { WorkbenchState } from '../store/state.ts'
import { formatQuantity } from '../text/format.ts'
import { useWorkbench } from '../workbench.ts'
import type { CameraRig } from './camera-rig.ts'
import type { SceneColours } from './colours.ts'
import type { CutHandle } from './cut-handles.ts'
import type { CutSheet } from './cut-sheet.ts'
import { along, turn } from './handle-drag.ts'
import { Arc, Arrow } from './handle-shapes.tsx'
import { plain } from './rigid-matrix.ts'
import { useTag } from './use-tag.ts'

interface CutHandleMarkProps {
  readonly sheet: CutSheet
  readonly handle: CutHandle
  readonly colours: SceneColours
  readonly rig: CameraRig
}

interface Drag {
  readonly sheet: CutSheet
  readonly handle: CutHandle
  readonly startValue: number
  readonly startAt: number
}

/** A handle: pull it and the number follows, one step of undo however far it is pulled; Escape takes it back. */
export function CutHandleMark({ sheet, handle, colours, rig }: CutHandleMarkProps) {
  const { store } = useWorkbench()
  const { invalidate, gl } = useThree()
  const drag = useRef<Drag | null>(null)
  const frame = useRef(0)
  const [hot, setHot] = useState(false)
  const colour = hot || drag.current ? colours.taken : colours.steel

  // An arc seen along its own plane looks like a depth arrow and cannot be pulled: it waits for a better view.
  const group = useRef<Group>(null)
  const turnsAbout = cross(handle.arm, handle.grows)
  useFrame(() => {
    if (group.current) {
      const facing = Math.abs(dot(plain(rig.direction()), handle.kind === 'depth' ? handle.grows : turnsAbout))
      const onto = !handle.seenFromAbove || Math.abs(dot(plain(rig.direction()), sheet.normal)) > 0.8
      const usable = onto && (handle.kind === 'depth' ? facing < 0.94 : facing > 0.34)
      group.current.visible = drag.current !== null || usable
    }
  })

  const at = addScaled(sheet.centre, handle.arm, handle.reachMm)
  const words = () => wordsOf(handle, store.getState())
  const tag = useTag(handle.field.step, words, at, sheet.centre, () => group.current?.visible === true)
  // The number goes ahead of the picture, which waits for the plan: only the words are changed, nothing is drawn.
  useEffect(() => store.subscribe((state) => tag.current?.say(wordsOf(handle, state) ?? '')), [store, handle, tag])

  const measure = (event: ThreeEvent<PointerEvent>, from: CutSheet, of: CutHandle): number | null => {
    const ray = { origin: plain(event.ray.origin), direction: plain(event.ray.direction) }
    return of.kind === 'depth'
      ? along(ray, addScaled(from.centre, of.arm, of.reachMm), of.grows)
      : turn(ray, from.centre, of.arm, of.grows, of.reachMm)
  }
  const onPointerDown = (event: ThreeEvent<PointerEvent>) => {
    const state = store.getState()
    const startAt = measure(event, sheet, handle)
    const startValue = numberOf(handle, state)
    if (startAt === null || startValue === null || event.button !== 0 || !group.current?.visible) return
    event.stopPropagation()
    ;(event.target as Element).setPointerCapture(event.pointerId)
    rig.controls.enabled = false
    drag.current = { sheet, handle, startValue, startAt }
    state.begin(handle.field.step)
    setHot(true)
  }
  const onPointerMove = (event: ThreeEvent<PointerEvent>) => {
    const now = drag.current
    if (!now || !store.getState().history.gesture) return
    event.stopPropagation()
    const at = measure(event, now.sheet, now.handle)
    if (at === null) return
    const { min = -Infinity, max = Infinity } = now.handle.field
    const value = Math.min(max, Math.max(min, Math.round((now.startValue + at - now.startAt) * 10) / 10))
    cancelAnimationFrame(frame.current)
    frame.current = requestAnimationFrame(() =>
      store.getState().update((document) => now.handle.field.write(document, value)),
    )
  }
  const end = (event: ThreeEvent<PointerEvent>) => {
    const now = drag.current
    if (!now) return
    drag.current = null
    rig.controls.enabled = true
    ;(event.target as Element).releasePointerCapture(event.pointerId)
    // The last move may still wait for its frame.
    requestAnimationFrame(() => {
      const { field } = now.handle
      const value = field.read(store.getState().history.present)
      const words = [now.startValue, value ?? now.startValue].map((v) => formatQuantity(v, field.quantity))
      store.getState().commit(`${field.step} ${words[0]} to ${words[1]}`)
    })
    setHot(false)
    invalidate()
  }

  return (
    <group
      ref={group}
      name={`handle ${handle.field.step}`}
      userData={handleMark}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={end}
      onPointerCancel={end}
      onPointerOver={(event) => {
        if (!group.current?.visible) return
        event.stopPropagation()
        setHot(true)
        gl.domElement.style.cursor = 'grab'
        invalidate()
      }}
      onPointerOut={() => {
        if (!drag.current) setHot(false)
        gl.domElement.style.cursor = ''
        invalidate()
      }}
    >
      {handle.kind === 'depth' ? (
        <Arrow at={at} along={handle.grows} colour={colour} />
      ) : (
        <Arc centre={sheet.centre} arm={handle.arm} grows={handle.grows} reachMm={handle.reachMm} colour={colour} />
      )}
    </group>
  )
}

function numberOf({ field }: CutHandle, { history, findings }: WorkbenchState): number | null {
  return field.read(history.present) ?? (findings ? (field.shown?.(findings) ?? null) : null)
}

function wordsOf(handle: CutHandle, state: WorkbenchState): string | null {
  const value = numberOf(handle, state)
  const { says, field } = handle
  return value === null ? null : `${says ?? field.label.split(',')[0]} ${formatQuantity(value, field.quantity)}`
}

/** What a picture of the view leaves out. */
const handleMark = { handle: true } as const
