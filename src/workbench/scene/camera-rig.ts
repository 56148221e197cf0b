import { OrthographicCamera, PerspectiveCamera, Spherical, Vector3 } from 'three'
import { OrbitControls } from 'three/addons/controls/OrbitControls.js'

/** What the overlays need to know of the camera. Directions are unit vectors of the scene. */
export interface CameraReadout {
  readonly mmPerPixel: number
  readonly right: readonly [number, number, number]
  readonly up: readonly [number, number, number]
  readonly orthographic: boolean
}

/** Where one looks from: pivot, unit direction from the pivot to the eye, height in sight at the pivot in mm. */
export interface Viewpoint {
  readonly target: Vector3
  readonly direction: Vector3
  readonly visibleHeight: number
}

const fieldOfViewDeg = 30
const turnMs = 180

/** Both cameras on one set of controls: a turntable about the scene's up, which switches projection without a jump. */
export class CameraRig {
  readonly orthographic = new OrthographicCamera(-1, 1, 1, -1, -4000, 4000)
  readonly perspective = new PerspectiveCamera(fieldOfViewDeg, 1, 1, 20_000)
  readonly controls: OrbitControls
  private width = 1
  private height = 1
  private running = 0

  constructor(
    element: HTMLElement,
    private readonly onChange: () => void,
  ) {
    this.orthographic.position.set(600, 0, 0)
    this.controls = new OrbitControls(this.orthographic, element)
    this.controls.enableDamping = false
    this.controls.zoomToCursor = true
    this.controls.screenSpacePanning = true
    this.controls.addEventListener('change', onChange)
    this.setVisibleHeight(200)
  }

  get camera(): OrthographicCamera | PerspectiveCamera {
    return this.controls.object as OrthographicCamera | PerspectiveCamera
  }

  dispose(): void {
    cancelAnimationFrame(this.running)
    this.controls.removeEventListener('change', this.onChange)
    this.controls.dispose()
  }

  resize(width: number, height: number): void {
    this.width = Math.max(1, width)
    this.height = Math.max(1, height)
    const { orthographic: o, perspective: p } = this
    o.left = -this.width / 2
    o.right = this.width / 2
    o.top = this.height / 2
    o.bottom = -this.height / 2
    o.updateProjectionMatrix()
    p.aspect = this.width / this.height
    p.updateProjectionMatrix()
    this.onChange()
  }

  setProjection(projection: 'orthographic' | 'perspective'): void {
    const next = projection === 'orthographic' ? this.orthographic : this.perspective
    if (next === this.camera) return
    const visible = this.visibleHeight()
    const direction = this.direction()
    this.controls.object = next
    this.place(direction, visible)
  }

  /** Height of what is in sight at the pivot, mm. */
  visibleHeight(): number {
    if (this.camera === this.orthographic) return this.height / this.orthographic.zoom
    return 2 * this.camera.position.distanceTo(this.controls.target) * Math.tan((fieldOfViewDeg * Math.PI) / 360)
  }

  viewpoint(): Viewpoint {
    return { target: this.controls.target.clone(), direction: this.direction(), visibleHeight: this.visibleHeight() }
  }

  /** Goes there in a short turn, or at once where motion is not wanted. */
  goTo({ target, direction, visibleHeight }: Viewpoint): void {
    cancelAnimationFrame(this.running)
    const from = {
      target: this.controls.target.clone(),
      angles: new Spherical().setFromVector3(this.direction()),
      height: this.visibleHeight(),
    }
    const to = new Spherical().setFromVector3(direction)
    const turn = ((((to.theta - from.angles.theta + Math.PI) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI)) - Math.PI
    const show = (t: number) => {
      this.controls.target.lerpVectors(from.target, target, t)
      const phi = from.angles.phi + t * (to.phi - from.angles.phi)
      const eye = new Vector3().setFromSpherical(new Spherical(1, phi, from.angles.theta + t * turn))
      this.place(eye, from.height * (visibleHeight / from.height) ** t)
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

  direction(): Vector3 {
    return this.camera.position.clone().sub(this.controls.target).normalize()
  }

  readout(): CameraReadout {
    const { elements: e } = this.camera.matrixWorld
    return {
      mmPerPixel: this.visibleHeight() / this.height,
      right: [e[0]!, e[1]!, e[2]!],
      up: [e[4]!, e[5]!, e[6]!],
      orthographic: this.camera === this.orthographic,
    }
  }

  aspect(): number {
    return this.width / this.height
  }

  private place(direction: Vector3, visibleHeight: number): void {
    const distance =
      this.camera === this.orthographic ? 800 : visibleHeight / 2 / Math.tan((fieldOfViewDeg * Math.PI) / 360)
    this.camera.position.copy(this.controls.target).addScaledVector(direction, distance)
    this.setVisibleHeight(visibleHeight)
    this.controls.update()
    this.onChange()
  }

  private setVisibleHeight(visibleHeight: number): void {
    this.orthographic.zoom = this.height / visibleHeight
    this.orthographic.updateProjectionMatrix()
  }
}
