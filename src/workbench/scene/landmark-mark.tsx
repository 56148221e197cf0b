import { type ThreeEvent, useThree } from '@react-three/fiber'
import { useRef, useState } from 'react'
import { confidenceWord } from '../../anatomy/confidence-word.ts'
import { boneOfLandmark, type Landmark, type LandmarkId } from '../../anatomy/terms.ts'
import { inverse, mapPoint } from '../../geometry/rigid.ts'
import { addScaled, distance, dot, sub, type Vec3 } from '../../geometry/vec.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import type { CameraRig } from './camera-rig.ts'
import type { SceneColours } from './colours.ts'
import { ConstantSize } from './constant-size.tsx'
import { holderOf } from './holder.ts'
import { LandmarkTag } from './landmark-tag.tsx'
import { pickOnBones } from './pick-on-bones.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { plain } from './rigid-matrix.ts'

interface LandmarkMarkProps {
  readonly id: LandmarkId
  readonly landmark: Landmark
  readonly at: Vec3
  readonly placement: Placement
  readonly colours: SceneColours
  readonly rig: CameraRig
}

interface Drag {
  readonly from: Vec3
  readonly pointerFrom: Vec3
  readonly downAt: readonly [number, number]
  /** Decided by the first pick: on the surface where the mark is seen on it, else across the view. */
  way: 'unsettled' | 'surface' | 'across'
  moved: boolean
  picking: boolean
}

/** Farther than this from the surface under the pointer, a landmark lies inside the bone or behind it, mm. */
const onSurfaceMm = 8

/** A landmark's mark: a click chooses it, a pull moves it over the bone while the angles follow; one step of undo, Escape takes it back. */
export function LandmarkMark({ id, landmark, at, placement, colours, rig }: LandmarkMarkProps) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { gl, camera, invalidate } = useThree()
  const active = useWorkbenchState((state) => state.activeLandmark === id)
  const drag = useRef<Drag | null>(null)
  const [hot, setHot] = useState(false)
  const bone = boneOfLandmark(id)

  const put = (mm: Vec3) =>
    store.getState().update((document) => ({
      ...document,
      landmarks: { ...document.landmarks, [id]: { mm, source: 'set' } },
    }))
  const across = (now: Drag, pointer: Vec3) => {
    const sceneFromBone = sceneFrom(placement, bone)
    put(mapPoint(inverse(sceneFromBone), addScaled(now.from, sub(pointer, now.pointerFrom), 1)))
  }
  const onPointerDown = (event: ThreeEvent<PointerEvent>) => {
    if (event.button !== 0 || event.shiftKey || store.getState().measuring) return
    event.stopPropagation()
    ;(event.target as Element).setPointerCapture(event.pointerId)
    rig.controls.enabled = false
    const way = id === 'hipCentre' ? 'across' : 'unsettled'
    drag.current = {
      from: at,
      pointerFrom: acrossView(event, at, rig),
      downAt: [event.clientX, event.clientY],
      way,
      moved: false,
      picking: false,
    }
  }
  const onPointerMove = (event: ThreeEvent<PointerEvent>) => {
    const now = drag.current
    if (!now) return
    event.stopPropagation()
    if (!now.moved) {
      if (Math.hypot(event.clientX - now.downAt[0], event.clientY - now.downAt[1]) <= 3) return
      now.moved = true
      store.getState().chooseLandmark(id)
      store.getState().takeLandmark(id)
      store.getState().begin(`move ${landmarkLabels[id].toLowerCase()}`)
    }
    if (!store.getState().history.gesture) return
    if (now.way === 'across') {
      across(now, acrossView(event, now.from, rig))
      return
    }
    if (now.picking) return
    now.picking = true
    void pickOnBones(workbench, placement, event.nativeEvent, holderOf(gl), camera, {
      only: bone,
      snapped: now.way === 'surface' && store.getState().snapTo !== 'surface',
    }).then((hit) => {
      now.picking = false
      if (drag.current !== now || !store.getState().history.gesture) return
      if (now.way === 'unsettled') now.way = hit && distance(hit.inScene, now.from) < onSurfaceMm ? 'surface' : 'across'
      if (now.way === 'surface' && hit) put(hit.inPatient)
    })
  }
  const end = (event: ThreeEvent<PointerEvent>) => {
    const now = drag.current
    if (!now) return
    drag.current = null
    rig.controls.enabled = true
    ;(event.target as Element).releasePointerCapture(event.pointerId)
    if (now.moved) {
      store.getState().commit()
      store.getState().takeLandmark(null)
    }
    setHot(false)
    invalidate()
  }
  const doubtful = confidenceWord(landmark.confidence) === 'doubtful'
  const radius = active || hot ? 6.5 : 4.5
  const dotColour = active || hot || doubtful ? colours.taken : colours.steel
  return (
    <>
      <ConstantSize at={at} name={`landmark ${id}`}>
        <mesh
          renderOrder={7}
          onPointerDown={onPointerDown}
          onPointerMove={onPointerMove}
          onPointerUp={end}
          onPointerCancel={end}
          onPointerOver={(event) => {
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
          onClick={(event) => {
            if (event.delta > 3 || store.getState().handTool !== 'landmark') return
            event.stopPropagation()
            // The click chose a landmark: it must not move one too.
            event.nativeEvent.preventDefault()
            store.getState().chooseLandmark(id)
          }}
        >
          <sphereGeometry args={[10, 12, 8]} />
          <meshBasicMaterial transparent opacity={0} depthWrite={false} colorWrite={false} />
        </mesh>
        <Dot radius={radius} corners={doubtful ? 4 : 32} colour={dotColour} rimColour={colours.paper} />
        {landmark.source === 'found' ? null : (
          <mesh renderOrder={10} raycast={notHit}>
            <torusGeometry args={[9, 1, 8, 28]} />
            <meshBasicMaterial color={colours.ink} depthTest={false} transparent opacity={0.8} />
          </mesh>
        )}
      </ConstantSize>
      {active || hot ? <LandmarkTag words={tagWords(id, landmark)} at={at} /> : null}
    </>
  )
}

interface DotProps {
  readonly radius: number
  /** 4: a lozenge. */
  readonly corners: number
  readonly colour: string
  readonly rimColour: string
}

/** In the page's own colour about a mark, so that it is seen on bone in every theme, pixels. */
const rim = 1.25
/** A ring, where the mark lies behind bone or within it. */
const ring = 1.5

/** Full where it is seen; an empty ring where bone lies before it, so that front and back are told apart. */
function Dot({ radius, corners, colour, rimColour }: DotProps) {
  const outer = corners === 4 ? radius * 1.35 : radius
  // Towards the eye by its own size, or the surface it lies on would cut it.
  const before: [number, number, number] = [0, 0, radius + 2]
  return (
    <>
      <mesh renderOrder={6} raycast={notHit}>
        <ringGeometry args={[outer - ring - rim / 2, outer + rim, corners]} />
        <meshBasicMaterial color={rimColour} depthTest={false} transparent opacity={0.7} />
      </mesh>
      <mesh renderOrder={7} raycast={notHit}>
        <ringGeometry args={[outer - ring, outer, corners]} />
        <meshBasicMaterial color={colour} depthTest={false} transparent opacity={0.8} />
      </mesh>
      <mesh renderOrder={8} raycast={notHit} position={before}>
        <circleGeometry args={[outer + rim, corners]} />
        <meshBasicMaterial color={rimColour} depthWrite={false} transparent />
      </mesh>
      <mesh renderOrder={9} raycast={notHit} position={before}>
        <circleGeometry args={[outer, corners]} />
        <meshBasicMaterial color={colour} depthWrite={false} transparent />
      </mesh>
    </>
  )
}

/** Where the pointer is in the plane through a place that faces the eye. */
function acrossView({ ray }: ThreeEvent<PointerEvent>, through: Vec3, rig: CameraRig): Vec3 {
  const [origin, direction, eye] = [plain(ray.origin), plain(ray.direction), plain(rig.direction())]
  return addScaled(origin, direction, dot(sub(through, origin), eye) / dot(direction, eye))
}

function tagWords(id: LandmarkId, { source, confidence }: Landmark): string {
  const word = confidenceWord(confidence)
  const how = source === 'found' ? [] : [source === 'set' ? 'set by hand' : 'given', ...(word === 'sure' ? [] : [word])]
  return [landmarkLabels[id], ...how].join(', ')
}

/** What is only seen is not hit. */
const notHit = () => null
