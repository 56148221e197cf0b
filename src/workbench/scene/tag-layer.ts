import { createContext } from 'react'
import { type Camera, Vector3 } from 'three'
import type { Vec3 } from '../../geometry/vec.ts'

/** Words over the 3D view that stay beside a point of the scene. They are read by eye only: the panels say the same. */
export class TagLayer {
  private readonly size: Size
  private readonly watcher: ResizeObserver

  constructor(private readonly element: HTMLElement) {
    const size = { width: element.clientWidth, height: element.clientHeight, coveredRight: 0 }
    this.size = size
    // Asked of the page between two tags, it would lay the page out anew for each of them.
    this.watcher = new ResizeObserver(() => {
      size.width = element.clientWidth
      size.height = element.clientHeight
    })
    this.watcher.observe(element)
  }

  add(name: string): Tag {
    const node = document.createElement('span')
    node.className = 'view-tag'
    node.dataset['name'] = name
    node.ariaHidden = 'true'
    node.hidden = true
    this.element.append(node)
    return new Tag(node, this.size)
  }

  /** Tags keep clear of a card at the right, px. */
  keepLeftOf(coveredRight: number): void {
    this.size.coveredRight = coveredRight
  }

  dispose(): void {
    this.watcher.disconnect()
  }
}

interface Size {
  width: number
  height: number
  coveredRight: number
}

const point = new Vector3()
/** From the point to the tag's near corner, px. */
const asidePx = 16
const edgePx = 4

export class Tag {
  constructor(
    private readonly node: HTMLElement,
    private readonly frame: Readonly<Size>,
  ) {}

  say(words: string): void {
    if (this.node.textContent !== words) this.node.textContent = words
  }

  /** Puts the tag beside a point as this camera sees it, straight away from `from`, whole within the view. */
  place(at: Vec3, from: Vec3, camera: Camera, shown: boolean): void {
    const { width, height, coveredRight } = this.frame
    const [fromX, fromY] = onScreen(from, camera, width, height)
    const [x, y] = onScreen(at, camera, width, height)
    const inside = x > 0 && y > 0 && x < width - coveredRight && y < height
    this.node.hidden = !shown || !inside
    if (this.node.hidden) return
    this.node.dataset['x'] = x.toFixed(1)
    this.node.dataset['y'] = y.toFixed(1)
    const apart = Math.hypot(x - fromX, y - fromY)
    const [dx, dy] = apart < 1 ? [1, 0] : [(x - fromX) / apart, (y - fromY) / apart]
    const across = wholly(x + dx * asidePx, dx, width - coveredRight)
    this.node.style.transform = `translate(${across}, ${wholly(y + dy * asidePx, dy, height)})`
  }

  remove(): void {
    this.node.remove()
  }
}

function onScreen(p: Vec3, camera: Camera, width: number, height: number): readonly [number, number] {
  point.set(p[0], p[1], p[2]).project(camera)
  return [((point.x + 1) / 2) * width, ((1 - point.y) / 2) * height]
}

/** A box pushed off a place by its own half, the way it lies; percents are of the tag itself. */
const wholly = (px: number, way: number, sizePx: number): string =>
  `clamp(${edgePx}px, calc(${px.toFixed(1)}px + ${(50 * (way - 1)).toFixed(1)}%), calc(${sizePx - edgePx}px - 100%))`

export const TagLayerContext = createContext<TagLayer | null>(null)
