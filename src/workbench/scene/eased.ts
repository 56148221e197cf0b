import { useThree } from '@react-three/fiber'
import { type RefObject, useLayoutEffect, useRef } from 'react'
import { type Material, Matrix4, type Mesh, Quaternion, Vector3 } from 'three'
import { useWorkbench } from '../workbench.ts'

/** Long enough to see where a thing went, too short to wait for. */
const easeMs = 190

/** Runs `show` from 0 to 1 over the length of one move, a frame at a time; returns what stops it. */
function ease(show: (t: number) => void): () => void {
  const start = performance.now()
  let frame = requestAnimationFrame(function step(now) {
    const t = Math.min(1, Math.max(0, (now - start) / easeMs))
    show(t * (2 - t))
    if (t < 1) frame = requestAnimationFrame(step)
  })
  return () => cancelAnimationFrame(frame)
}

let still: MediaQueryList | undefined
const unmoved = (): boolean => {
  still ??= window.matchMedia('(prefers-reduced-motion: reduce)')
  return still.matches
}

/**
 * Puts a mesh where its matrix says. The same thing elsewhere goes there in one short move (a piece lifts, a leg stands
 * up); another thing, a pull under way or a wish for no motion puts it there at once.
 */
export function useEasedMatrix(mesh: RefObject<Mesh | null>, matrix: Matrix4, thing: object): void {
  const { store } = useWorkbench()
  const invalidate = useThree((three) => three.invalidate)
  const before = useRef<object | null>(null)
  useLayoutEffect(() => {
    const object = mesh.current
    if (!object) return undefined
    const same = before.current === thing
    before.current = thing
    // Where it is going: what looks for the bones must not find them on their way.
    object.userData['at'] = matrix
    const put = (next: Matrix4) => {
      object.matrix.copy(next)
      object.matrixWorldNeedsUpdate = true
      invalidate()
    }
    if (!same || unmoved() || store.getState().history.gesture || object.matrix.equals(matrix)) {
      put(matrix)
      return undefined
    }
    const from = parts(object.matrix)
    const to = parts(matrix)
    const [position, turn, between] = [new Vector3(), new Quaternion(), new Matrix4()]
    return ease((t) => {
      if (t === 1) put(matrix)
      else
        put(
          between.compose(
            position.lerpVectors(from.position, to.position, t),
            turn.slerpQuaternions(from.turn, to.turn, t),
            to.size,
          ),
        )
    })
  }, [mesh, matrix, thing, store, invalidate])
}

/** Lets a material come in from nothing the first time it is shown. */
export function useAppearing(material: RefObject<Material | null>, opacity: number): void {
  const invalidate = useThree((three) => three.invalidate)
  const shown = useRef(false)
  useLayoutEffect(() => {
    const target = material.current
    if (!target) return undefined
    const put = (value: number) => {
      target.opacity = value
      invalidate()
    }
    if (shown.current || unmoved()) {
      shown.current = true
      put(opacity)
      return undefined
    }
    put(0)
    return ease((t) => {
      shown.current = t === 1
      put(t * opacity)
    })
  }, [material, opacity, invalidate])
}

function parts(matrix: Matrix4) {
  const [position, turn, size] = [new Vector3(), new Quaternion(), new Vector3()]
  matrix.decompose(position, turn, size)
  return { position, turn, size }
}
