/** What the gestures of one pane may ask and do. */
export interface CameraHandling {
  /** A trackball that nothing has taken out of the hand. */
  readonly turnsFreely: () => boolean
  readonly wheelPans: () => boolean
  /** Marks a step of the camera's own history. */
  readonly begin: () => void
  readonly spin: (rightDeg: number, downDeg: number) => void
  readonly pan: (rightPixels: number, downPixels: number) => void
}

/** What three's controls have not: a trackball under one finger or the left button, a wheel that moves the view. Returns what ends it. */
export function cameraGestures(element: HTMLElement, camera: CameraHandling): () => void {
  const fingers = new Map<number, readonly [number, number]>()
  const down = (event: PointerEvent) => {
    if (event.button !== 0 || event.shiftKey || event.ctrlKey || event.metaKey) return
    fingers.set(event.pointerId, [event.clientX, event.clientY])
    if (camera.turnsFreely()) camera.begin()
  }
  const move = (event: PointerEvent) => {
    const last = fingers.get(event.pointerId)
    if (!last) return
    fingers.set(event.pointerId, [event.clientX, event.clientY])
    if (!camera.turnsFreely() || fingers.size !== 1) return
    const perPixel = 360 / element.clientHeight
    camera.spin((event.clientX - last[0]) * perPixel, (event.clientY - last[1]) * perPixel)
  }
  const up = (event: PointerEvent) => fingers.delete(event.pointerId)
  const wheel = (event: WheelEvent) => {
    // A pinch on a trackpad comes as a wheel with Ctrl: that brings nearer, whatever the wheel is used for.
    if (!camera.wheelPans() || event.ctrlKey) return
    event.preventDefault()
    event.stopImmediatePropagation()
    camera.pan(-event.deltaX, -event.deltaY)
  }
  element.addEventListener('pointerdown', down)
  element.addEventListener('pointermove', move)
  element.addEventListener('pointerup', up)
  element.addEventListener('pointercancel', up)
  element.addEventListener('wheel', wheel, { capture: true, passive: false })
  return () => {
    element.removeEventListener('pointerdown', down)
    element.removeEventListener('pointermove', move)
    element.removeEventListener('pointerup', up)
    element.removeEventListener('pointercancel', up)
    element.removeEventListener('wheel', wheel, { capture: true })
  }
}
