import { createContext } from 'react'
import { type Camera, Vector3 } from 'three'
import type { Vec3 } from '../../geometry/vec.ts'

/** Words over the 3D view that stay beside a point of the scene. They are read by eye only: the panels say the same. */
export class TagLayer {
  constructor(private readonly element: HTMLElement) {}

  add(name: string): Tag {
    const node = document.createElement('span')
    node.className = 'view-tag'
    node.dataset['name'] = name
    node.ariaHidden = 'true'
    node.hidden = true
    this.element.append(node)
    return new Tag(node, this.element)
  }
}

const point = new Vector3()
/** From the point to the tag's near corner, px. */
const asidePx = 16
const edgePx = 4

export class Tag {
  constructor(
    private readonly node: HTMLElement,
    private readonly frame: HTMLElement,
  ) {}

  say(words: string): void {
    if (this.node.textContent !== words) this.node.textContent = words
  }

  /** Puts the tag beside a point as this camera sees it, on the side away from `from`. */
  place(at: Vec3, from: Vec3, camera: Camera, shown: boolean): void {
    const fromX = point.set(from[0], from[1], from[2]).project(camera).x
    point.set(at[0], at[1], at[2]).project(camera)
    const { clientWidth, clientHeight } = this.frame
    const x = ((point.x + 1) / 2) * clientWidth
    const y = ((1 - point.y) / 2) * clientHeight
    const inside = x > 0 && y > 0 && x < clientWidth && y < clientHeight
    this.node.hidden = !shown || !inside
    if (this.node.hidden) return
    this.node.dataset['x'] = x.toFixed(1)
    this.node.dataset['y'] = y.toFixed(1)
    const left = point.x < fromX
    const shift = left ? `calc(${(x - asidePx).toFixed(1)}px - 100%)` : `${(x + asidePx).toFixed(1)}px`
    // Whole, even where the place is near the edge of a narrow view.
    const whole = `clamp(${edgePx}px, ${shift}, calc(${clientWidth - edgePx}px - 100%))`
    this.node.style.transform = `translate(${whole}, calc(${y.toFixed(1)}px - 50%))`
  }

  remove(): void {
    this.node.remove()
  }
}

export const TagLayerContext = createContext<TagLayer | null>(null)
