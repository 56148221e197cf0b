import { useFrame } from '@react-three/fiber'
import { type RefObject, useContext, useEffect, useRef } from 'react'
import type { Vec3 } from '../../geometry/vec.ts'
import { type Tag, TagLayerContext } from './tag-layer.ts'

/** Words beside a point of the scene, on the side away from `from`, moved with every frame. null words: none. */
export function useTag(
  name: string,
  words: () => string | null,
  at: Vec3,
  from: Vec3,
  shown: () => boolean,
): RefObject<Tag | null> {
  const layer = useContext(TagLayerContext)
  const tag = useRef<Tag | null>(null)
  useEffect(() => {
    const made = layer?.add(name) ?? null
    tag.current = made
    return () => {
      tag.current = null
      made?.remove()
    }
  }, [layer, name])
  useFrame(({ camera }) => {
    const said = words()
    tag.current?.say(said ?? '')
    tag.current?.place(at, from, camera, said !== null && shown())
  })
  return tag
}
