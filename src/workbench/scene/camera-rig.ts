import { OrthographicCamera, PerspectiveCamera, Spherical, Vector3 } from 'three'
import { OrbitControls } from 'three/addons/controls/OrbitControls.js'
import type { Rotation, WheelUse } from '../store/sight-slice.ts'
import { type CameraHandling, cameraGestures } from './camera-gestures.ts'
import { CameraSteps } from './camera-steps.ts'
import { cameraWay, levelUp, type Viewpoint } from './camera-way.ts'

/** What the overlays need to know of the camera. Directions are unit vectors of the scene. */
export interface CameraReadout {
  readonly mmPerPixel: number
  readonly right: readonly [number, number, number]
  readonly up: readonly [number, number, number]
  readonly orthographic: boolean
  /** How much of the view's right side a card lies over, px. */
  readonly coveredRightPx: number
}

/** What lies over the view's edges, px: the pivot is seen in the middle of what is left. */
export interface Insets {
  readonly top: number
  readonly right: number
  readonly bottom: number
  readonly left: number
}

const fieldOfViewDeg = 30
const turnMs = 180
const wheelPauseMs = 500
/** One press of an arrow key. */
const keyTurnDeg = 5
const keyPanPixels = 40

/** Both cameras on one set of controls, which switches projection without a jump; every pane that is attached steers the same camera. */
export class CameraRig {
  readonly orthographic = new OrthographicCamera(-1, 1, 1, -1, -4000, 4000)
  readonly perspective = new PerspectiveCamera(fieldOfViewDeg, 1, 1, 20_000)
  readonly controls: OrbitControls
  readonly steps = new CameraSteps()
  private readonly others = new Set<OrbitControls>()
  private readonly listeners = new Set<() => void>()
  private readonly letGo: () => void
  private rotation: Rotation = 'turntable'
  private wheel: WheelUse = 'zoom'
  private insets: Insets = { top: 0, right: 0, bottom: 0, left: 0 }
  private width = 1
  private height = 1
  private running = 0
  private begunAt = Number.NEGATIVE_INFINITY

  constructor(element: HTMLElement) {
    this.orthographic.position.set(600, 0, 0)
    this.controls = this.controlsOn(element)
    this.letGo = cameraGestures(element, this.handling(this.controls))
    this.setVisibleHeight(200)
  }

  get camera(): OrthographicCamera | PerspectiveCamera {
    return this.controls.object as OrthographicCamera | PerspectiveCamera
  }

  /** Calls back after every change of the camera. */
  listen(listener: () => void): () => void {
    this.listeners.add(listener)
    return () => this.listeners.delete(listener)
  }

  /** A further pane from which the same camera is steered. */
  attach(element: HTMLElement): () => void {
    const controls = this.controlsOn(element)
    controls.target = this.controls.target
    controls.object = this.camera
    controls.enableRotate = this.rotation === 'turntable'
    const letGo = cameraGestures(element, this.handling(controls))
    this.others.add(controls)
    return () => {
      letGo()
      this.others.delete(controls)
      controls.dispose()
    }
  }

  dispose(): void {
    cancelAnimationFrame(this.running)
    this.letGo()
    this.listeners.clear()
    for (const controls of [this.controls, ...this.others]) controls.dispose()
  }

  resize(width: number, height: number): void {
    const visible = this.visibleHeight()
    this.width = Math.max(1, width)
    this.height = Math.max(1, height)
    const { orthographic: o, perspective: p } = this
    const across = (this.insets.left - this.insets.right) / 2
    const down = (this.insets.top - this.insets.bottom) / 2
    o.left = -this.width / 2
    o.right = this.width / 2
    o.top = this.height / 2
    o.bottom = -this.height / 2
    o.zoom = this.height / visible
    p.aspect = this.width / this.height
    for (const camera of [o, p]) camera.setViewOffset(this.width, this.height, -across, -down, this.width, this.height)
    this.changed()
  }

  setInsets(insets: Insets): void {
    if ((Object.keys(insets) as (keyof Insets)[]).every((edge) => insets[edge] === this.insets[edge])) return
    this.insets = insets
    this.resize(this.width, this.height)
  }

  /** The part of the view's width and height that nothing lies over. */
  free(): { readonly width: number; readonly height: number } {
    const { left, right, top, bottom } = this.insets
    return {
      width: Math.max(0.2, 1 - (left + right) / this.width),
      height: Math.max(0.2, 1 - (top + bottom) / this.height),
    }
  }

  setProjection(projection: 'orthographic' | 'perspective'): void {
    const next = projection === 'orthographic' ? this.orthographic : this.perspective
    if (next === this.camera) return
    const visible = this.visibleHeight()
    const direction = this.direction()
    next.up.copy(this.camera.up)
    for (const controls of [this.controls, ...this.others]) controls.object = next
    this.place(direction, visible)
  }

  /** A turntable keeps the horizon level; a trackball turns about whatever is across the view. */
  setRotation(rotation: Rotation): void {
    this.rotation = rotation
    for (const controls of [this.controls, ...this.others]) controls.enableRotate = rotation === 'turntable'
    if (rotation === 'trackball' || this.camera.up.equals(levelUp)) return
    this.camera.up.copy(levelUp)
    this.place(this.direction(), this.visibleHeight())
  }

  setWheel(wheel: WheelUse): void {
    this.wheel = wheel
  }

  /** Height of what is in sight at the pivot, mm. */
  visibleHeight(): number {
    if (this.camera === this.orthographic) return this.height / this.orthographic.zoom
    return 2 * this.camera.position.distanceTo(this.controls.target) * Math.tan((fieldOfViewDeg * Math.PI) / 360)
  }

  viewpoint(): Viewpoint {
    return {
      target: this.controls.target.clone(),
      direction: this.direction(),
      visibleHeight: this.visibleHeight(),
      up: this.camera.up.clone(),
    }
  }

  /** Goes there in a short turn, or at once where motion is not wanted; one step of the camera's own back and forward. */
  goTo(viewpoint: Viewpoint, { isStep = true } = {}): void {
    cancelAnimationFrame(this.running)
    if (isStep) this.steps.leave(this.viewpoint())
    const way = cameraWay({ ...this.viewpoint(), up: this.camera.up.clone() }, viewpoint)
    const show = (t: number) => {
      const on = way(t)
      this.controls.target.copy(on.target)
      this.camera.up.copy(on.up)
      this.place(on.direction, on.visibleHeight)
    }
    if (window.matchMedia('(prefers-reduced-motion: reduce)').matches) {
      show(1)
      return
    }
    const start = performance.now()
    const step = (now: number) => {
      const t = Math.min(1, (now - start) / turnMs)
      show(t * (2 - t))
      if (t < 1) this.running = requestAnimationFrame(step)
    }
    this.running = requestAnimationFrame(step)
  }

  /** Takes the camera's last step back, or one taken back forward again; the case is not touched. */
  goBack(way: 'back' | 'forward'): void {
    const to = this.steps.take(way, this.viewpoint())
    if (to) this.goTo(to, { isStep: false })
  }

  /** Arrow keys turn, with Shift they move; + and − bring nearer and farther. Whether the key meant the camera. */
  key(event: { readonly key: string; readonly shiftKey: boolean }): boolean {
    const way = arrows[event.key]
    if (way) {
      if (event.shiftKey) this.pan(keyPanPixels * way[0], keyPanPixels * way[1])
      else this.spin(keyTurnDeg * way[0], keyTurnDeg * way[1])
      return true
    }
    if (event.key !== '+' && event.key !== '=' && event.key !== '-') return false
    this.place(this.direction(), this.visibleHeight() * (event.key === '-' ? 1.15 : 1 / 1.15))
    return true
  }

  direction(): Vector3 {
    return this.camera.position.clone().sub(this.controls.target).normalize()
  }

  readout(): CameraReadout {
    // Asked for between frames too: three brings the matrix up to date only when it draws.
    this.camera.updateMatrixWorld()
    const { elements: e } = this.camera.matrixWorld
    return {
      mmPerPixel: this.visibleHeight() / this.height,
      right: [e[0]!, e[1]!, e[2]!],
      up: [e[4]!, e[5]!, e[6]!],
      orthographic: this.camera === this.orthographic,
      coveredRightPx: this.insets.right,
    }
  }

  aspect(): number {
    return this.width / this.height
  }

  /** Turns what is seen by degrees to the right and down. */
  private spin(rightDeg: number, downDeg: number): void {
    const { right, up } = this.readout()
    const eye = this.direction()
    const [yaw, pitch] = [(-rightDeg * Math.PI) / 180, (-downDeg * Math.PI) / 180]
    if (this.rotation === 'trackball') {
      const across = new Vector3(...right)
      const upward = new Vector3(...up)
      eye.applyAxisAngle(upward, yaw).applyAxisAngle(across, pitch)
      this.camera.up.copy(upward.applyAxisAngle(across, pitch))
    } else {
      const turned = new Spherical().setFromVector3(eye)
      turned.theta += yaw
      turned.phi = Math.min(Math.PI - 1e-3, Math.max(1e-3, turned.phi + pitch))
      eye.setFromSpherical(turned)
    }
    this.place(eye, this.visibleHeight())
  }

  /** Moves what is seen by pixels to the right and down. */
  private pan(rightPixels: number, downPixels: number): void {
    const { right, up, mmPerPixel } = this.readout()
    this.controls.target
      .addScaledVector(new Vector3(...right), -rightPixels * mmPerPixel)
      .addScaledVector(new Vector3(...up), downPixels * mmPerPixel)
    this.place(this.direction(), this.visibleHeight(), this.controls.target)
  }

  private place(direction: Vector3, visibleHeight: number, target = this.controls.target): void {
    const distance =
      this.camera === this.orthographic ? 800 : visibleHeight / 2 / Math.tan((fieldOfViewDeg * Math.PI) / 360)
    this.camera.position.copy(target).addScaledVector(direction, distance)
    this.setVisibleHeight(visibleHeight)
    this.controls.update()
    this.changed()
  }

  private setVisibleHeight(visibleHeight: number): void {
    this.orthographic.zoom = this.height / visibleHeight
    this.orthographic.updateProjectionMatrix()
  }

  private controlsOn(element: HTMLElement): OrbitControls {
    const controls = new OrbitControls(this.orthographic, element)
    controls.enableDamping = false
    controls.zoomToCursor = true
    controls.screenSpacePanning = true
    controls.addEventListener('change', () => this.changed())
    controls.addEventListener('start', () => {
      // A turn of the wheel is many starts and one step.
      const now = performance.now()
      if (now - this.begunAt > wheelPauseMs) this.steps.leave(this.viewpoint())
      this.begunAt = now
      // A turntable turns about a level horizon, wherever the last look left it.
      if (turns(controls) && !this.camera.up.equals(levelUp)) this.camera.up.copy(levelUp)
    })
    return controls
  }

  /** What a pane's own gestures may do with the camera. */
  private handling(controls: OrbitControls): CameraHandling {
    return {
      turnsFreely: () => this.rotation === 'trackball' && controls.enabled,
      wheelPans: () => this.wheel === 'pan',
      begin: () => this.steps.leave(this.viewpoint()),
      spin: (rightDeg, downDeg) => this.spin(rightDeg, downDeg),
      pan: (rightPixels, downPixels) => this.pan(rightPixels, downPixels),
    }
  }

  private changed(): void {
    for (const listener of this.listeners) listener()
  }
}

/** Whether the controls have just begun a turn, by mouse or by finger (three's own numbers of their states). */
const turns = (controls: OrbitControls): boolean => {
  const { state } = controls as { readonly state?: number }
  return state === 0 || state === 3
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
}
