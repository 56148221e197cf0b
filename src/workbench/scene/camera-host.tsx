import { useThree } from '@react-three/fiber'
import { useEffect, useRef } from 'react'
import { Vector3 } from 'three'
import type { SavedCamera } from '../../casefile/saved-view.ts'
import type { PresetName } from '../store/viewport-slice.ts'
import type { StageName } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { activeSheet } from './active-sheet.ts'
import { fitBones, lookAtPlace, presetDirection, presetUp } from './camera-commands.ts'
import type { CameraRig, Insets } from './camera-rig.ts'
import type { Viewpoint } from './camera-way.ts'
import type { Placement } from './placement.ts'

interface CameraHostProps {
  readonly rig: CameraRig
  readonly placement: Placement
}

/** Stages that look at the same thing share a viewpoint; each is left and found again as it was. */
const sightOf: Readonly<Record<StageName, 'whole' | 'knee' | 'standing'>> = {
  bones: 'whole',
  landmarks: 'whole',
  cuts: 'knee',
  stance: 'standing',
  loading: 'standing',
  report: 'knee',
}

/** Carries the store's wishes to the camera, and looks afresh when other bones are in the scene. */
export function CameraHost({ rig, placement }: CameraHostProps) {
  const { store } = useWorkbench()
  const { set, scene, size, invalidate } = useThree()
  const projection = useWorkbenchState((state) => state.projection)
  const request = useWorkbenchState((state) => state.cameraRequest)
  const sight = useWorkbenchState((state) => sightOf[state.stage])
  const bones = useWorkbenchState((state) => {
    const { femur, tibia } = state.history.present.meshes
    return `${femur?.sha256} ${femur?.unitFactor} ${tibia?.sha256} ${tibia?.unitFactor}`
  })
  const side = useWorkbenchState(
    (state) => state.findings?.side ?? state.femurAnatomy?.side ?? state.tibiaAnatomy?.side ?? 'right',
  )
  const now = useRef({ side, placement, bones })
  now.current = { side, placement, bones }
  /** A saved look that was asked for before its bones had found their frames; it is taken again when they have. */
  const awaited = useRef<{ readonly bones: string; readonly look: () => void } | null>(null)
  const left = useRef(new Map<string, Viewpoint>())

  useEffect(() => {
    rig.setProjection(projection)
    Object.assign(rig.camera, { manual: true })
    set({ camera: rig.camera })
    invalidate()
  }, [rig, projection, set, invalidate])

  useEffect(() => {
    store.setState({ readCamera: () => savedCamera(rig) })
    return () => store.setState({ readCamera: null })
  }, [store, rig])

  const rotation = useWorkbenchState((state) => state.rotation)
  const wheel = useWorkbenchState((state) => state.wheel)
  useEffect(() => rig.setRotation(rotation), [rig, rotation])
  useEffect(() => rig.setWheel(wheel), [rig, wheel])
  useEffect(() => {
    rig.steps.onChange = (cameraSteps) => store.setState({ cameraSteps })
    return () => {
      rig.steps.onChange = null
    }
  }, [rig, store])

  // A card that opens or closes leaves another part of the view free.
  const cards = useWorkbenchState(({ stage, thicknessShown, depth, maps, sectionShown, split }) =>
    [stage, thicknessShown, depth, maps.length, sectionShown, split].join(),
  )
  // biome-ignore lint/correctness/useExhaustiveDependencies: what opens and closes cards
  useEffect(() => {
    const wait = requestAnimationFrame(() => rig.setInsets(insetsNow()))
    return () => cancelAnimationFrame(wait)
  }, [rig, cards])

  useEffect(() => {
    rig.resize(size.width, size.height)
    invalidate()
  }, [rig, size, invalidate])

  useEffect(() => {
    if (!request) return undefined
    const sheet = () => activeSheet(store.getState(), now.current.placement)
    const direct = (preset: PresetName) => presetDirection(preset, now.current.side, sheet())
    switch (request.kind) {
      case 'camera': {
        const { target, direction, visibleHeightMm: visibleHeight, projection: wanted } = request.camera
        store.getState().setProjection(wanted)
        const eye = new Vector3(...direction).normalize()
        const up = rolled(new Vector3(...request.camera.up), eye)
        const look = () => rig.goTo({ target: new Vector3(...target), direction: eye, visibleHeight, ...up })
        const { bones: shown, placement: stands } = now.current
        awaited.current = stands.frame === 'file' ? { bones: shown, look } : null
        return afterStage(look)
      }
      case 'fit': {
        const { what, preset } = request
        const look = () =>
          fitBones(
            rig,
            scene,
            what,
            kneeIn(sheet()),
            (preset && direct(preset)) ?? undefined,
            now.current.placement.frame === 'stance',
          )
        if (preset) return afterStage(look)
        look()
        return undefined
      }
      case 'back':
      case 'forward':
        rig.goBack(request.kind)
        return undefined
      case 'place': {
        const { sceneFromFemur, sceneFromTibia } = now.current.placement
        lookAtPlace(rig, request, request.bone === 'femur' ? sceneFromFemur : sceneFromTibia)
        return undefined
      }
      case 'preset': {
        const direction = direct(request.preset)
        const up = presetUp(request.preset, sheet())
        if (direction) {
          const target = rig.controls.target.clone()
          rig.goTo({ target, direction, visibleHeight: rig.visibleHeight(), ...(up ? { up } : {}) })
        }
        return undefined
      }
    }
  }, [rig, request, scene, store])

  // Other bones, or the same in another frame, are another scene: what was remembered of the old one is void.
  const known = placement.frame === 'stance' ? 'tibia' : placement.frame
  // biome-ignore lint/correctness/useExhaustiveDependencies: these two decide when to forget
  useEffect(() => left.current.clear(), [bones, known])

  useEffect(() => {
    const remembered = left.current.get(sight)
    // The bones of the new stage must be in the scene before they can be fitted.
    const wait = requestAnimationFrame(() => {
      const saved = awaited.current?.bones === bones ? awaited.current : null
      if (placement.frame !== 'file') awaited.current = null
      if (remembered) rig.goTo(remembered, { isStep: false })
      else if (saved) saved.look()
      else {
        rig.setInsets(insetsNow())
        const what = sight === 'knee' ? 'knee' : 'all'
        fitBones(rig, scene, what, new Vector3(0, 30, 0), new Vector3(1, 0, 0), sight === 'standing')
      }
    })
    const viewpoints = left.current
    return () => {
      cancelAnimationFrame(wait)
      viewpoints.set(sight, rig.viewpoint())
      rig.steps.forget()
    }
  }, [rig, scene, sight, bones, placement.frame])
  return null
}

/** Carries out a wish that may come with another stage after the look which that stage begins with. */
function afterStage(look: () => void): () => void {
  let wait = requestAnimationFrame(() => {
    wait = requestAnimationFrame(look)
  })
  return () => cancelAnimationFrame(wait)
}

function savedCamera(rig: CameraRig): SavedCamera {
  const { target, direction, visibleHeight } = rig.viewpoint()
  const { up, orthographic } = rig.readout()
  return {
    projection: orthographic ? 'orthographic' : 'perspective',
    target: [target.x, target.y, target.z],
    direction: [direction.x, direction.y, direction.z],
    up,
    visibleHeightMm: visibleHeight,
  }
}

/** The rows of tools at top and bottom, and an open card at the right, px. */
function insetsNow(): Insets {
  const part = (selector: string) => document.querySelector<HTMLElement>(selector)
  const card = part('.contact-card')
  const right = card ? card.offsetWidth + 16 : 0
  // In a narrow pane the card covers part of the bones, rather than crowding them to the edge.
  const most = 0.35 * (part('.scene.after')?.offsetWidth ?? 0)
  return {
    top: (part('.view-tools')?.offsetHeight ?? 34) + 10,
    bottom: (part('.view-switches')?.offsetHeight ?? 28) + 24,
    left: 0,
    right: Math.min(right, most),
  }
}

/** An upward direction that leaves the horizon level is not a roll. */
function rolled(up: Vector3, eye: Vector3): { readonly up?: Vector3 } {
  const level = new Vector3(0, 1, 0).addScaledVector(eye, -eye.y)
  return level.lengthSq() < 1e-6 || level.normalize().dot(up) > 0.9999 ? {} : { up }
}

const kneeIn = (sheet: ReturnType<typeof activeSheet>): Vector3 =>
  sheet ? new Vector3(...sheet.centre) : new Vector3(0, 30, 0)
