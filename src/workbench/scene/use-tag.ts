import { useFrame } from '@react-three/fiber'
import { useContext, useEffect, useRef } from 'react'
import type { Vec3 } from '../../geometry/vec.ts'
import { type Tag, TagLayerContext } from './tag-layer.ts'

/** Words beside a point of the scene, on the side away from `from`, moved with every frame. null words: none. */
export function useTag(name: string, words: string | null, at: Vec3, from: Vec3, shown: () => boolean): void {
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
    tag.current?.say(words ?? '')
    tag.current?.place(at, from, camera, words !== null && shown())
  })
}
