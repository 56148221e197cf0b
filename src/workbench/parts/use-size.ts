import { type RefObject, useEffect, useState } from 'react'

/** Width and height of an element in px, followed as they change; null before it is on the page. */
export function useSize(
  element: RefObject<Element | null>,
): { readonly width: number; readonly height: number } | null {
  const [size, setSize] = useState<{ width: number; height: number } | null>(null)
  useEffect(() => {
    const watched = element.current
    if (!watched) return
    const observer = new ResizeObserver(() => {
      const { width, height } = watched.getBoundingClientRect()
      setSize((before) => (before?.width === width && before.height === height ? before : { width, height }))
    })
    observer.observe(watched)
    return () => observer.disconnect()
  }, [element])
  return size
}
