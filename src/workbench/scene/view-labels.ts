import type { PictureOptions } from '../store/viewport-slice.ts'
import type { PictureLegend } from './picture-legend.ts'

/** What is written over the 3D view and belongs to what is seen there. */
const labelled = '.view-tag, .edge-letter, .scale-bar, [data-picture-label]'

type Pen = OffscreenCanvasRenderingContext2D

export interface PictureWords {
  readonly head: string | null
  readonly legend: PictureLegend | null
}

/**
 * Draws the words that lie over the view, where and as large as they are on the page, onto a picture of it; beside
 * them what the page says elsewhere: the side and what the colours mean, where the page has its tools.
 */
export function drawLabels(
  pen: Pen,
  view: Element,
  scale: number,
  ground: PictureOptions['ground'],
  { head, legend }: PictureWords,
): void {
  const frame = view.getBoundingClientRect()
  const bare = bareWords(view, ground)
  for (const label of view.closest('.view')?.querySelectorAll<HTMLElement>(labelled) ?? []) {
    const box = label.getBoundingClientRect()
    const style = getComputedStyle(label)
    if (label.hidden || box.width === 0 || style.visibility === 'hidden') continue
    const [x, y] = [(box.left - frame.left) * scale, (box.top - frame.top) * scale]
    const [w, h] = [box.width * scale, box.height * scale]
    const line = label.querySelector('.scale-bar-line')
    const sheet = style.backgroundColor !== 'rgba(0, 0, 0, 0)'
    if (line) drawLine(pen, line, frame, scale, bare)
    else if (sheet) drawSheet(pen, [x, y, w, h], scale, style.backgroundColor, style.borderTopColor)
    pen.font = fontOf(style, scale)
    pen.textAlign = 'center'
    pen.textBaseline = line ? 'alphabetic' : 'middle'
    const at = [x + w / 2, line ? y + h - 4 * scale : y + h / 2] as const
    if (sheet) {
      pen.fillStyle = style.color
      pen.fillText(label.textContent ?? '', ...at, w)
    } else writeBare(pen, label.textContent ?? '', at, scale, bare)
  }
  pen.font = fontOf(getComputedStyle(view), scale)
  pen.textBaseline = 'middle'
  pen.textAlign = 'left'
  const caption = view.closest('.view')?.querySelector('.piece-caption')?.textContent
  const lines = [head, caption].filter(Boolean) as string[]
  for (const [k, line] of lines.entries()) writeBare(pen, line, [16 * scale, (24 + 20 * k) * scale], scale, bare)
  if (legend) drawLegend(pen, legend, frame.width * scale, scale)
}

interface BareWords {
  readonly ink: string
  readonly halo: string
}

/** Words without a sheet under them must be read on the ground of the picture, not on that of the page. */
function bareWords(view: Element, ground: PictureOptions['ground']): BareWords {
  const theme = getComputedStyle(view)
  return ground === 'white'
    ? { ink: '#1f1d1a', halo: '#ffffff' }
    : { ink: theme.getPropertyValue('--ink'), halo: theme.getPropertyValue('--paper') }
}

const fontOf = (style: CSSStyleDeclaration, scale: number) =>
  `${style.fontWeight} ${Number.parseFloat(style.fontSize) * scale}px ${style.fontFamily}`

function writeBare(pen: Pen, words: string, at: readonly [number, number], scale: number, bare: BareWords): void {
  pen.lineJoin = 'round'
  pen.lineWidth = 3 * scale
  pen.strokeStyle = bare.halo
  pen.strokeText(words, ...at)
  pen.fillStyle = bare.ink
  pen.fillText(words, ...at)
}

function drawSheet(
  pen: Pen,
  [x, y, w, h]: readonly [number, number, number, number],
  scale: number,
  ground: string,
  edge: string,
): void {
  pen.fillStyle = ground
  pen.strokeStyle = edge
  pen.lineWidth = scale
  pen.beginPath()
  pen.roundRect(x, y, w, h, 6 * scale)
  pen.fill()
  pen.stroke()
}

/** The scale bar: a line with an upright at each end. */
function drawLine(pen: Pen, line: Element, frame: DOMRect, scale: number, bare: BareWords): void {
  const box = line.getBoundingClientRect()
  const [left, right] = [(box.left - frame.left) * scale, (box.right - frame.left) * scale]
  const [top, bottom] = [(box.top - frame.top) * scale, (box.bottom - frame.top) * scale]
  pen.beginPath()
  pen.moveTo(left, top)
  pen.lineTo(left, bottom)
  pen.lineTo(right, bottom)
  pen.lineTo(right, top)
  for (const [colour, width] of [
    [bare.halo, 4],
    [bare.ink, 1.5],
  ] as const) {
    pen.strokeStyle = colour
    pen.lineWidth = width * scale
    pen.stroke()
  }
}

/** In the upper right corner, where the page has its tools and cards and the camera keeps the bones away. */
function drawLegend(pen: Pen, { title, colourAt, figures }: PictureLegend, pictureWidth: number, scale: number): void {
  const [w, h, inset] = [230 * scale, 66 * scale, 10 * scale]
  const [x, y] = [pictureWidth - w - 14 * scale, 10 * scale]
  drawSheet(pen, [x, y, w, h], scale, '#fbfaf7', '#cbc1b1')
  const size = 12.5 * scale
  pen.font = `500 ${size}px Inter, system-ui, sans-serif`
  pen.fillStyle = '#1f1d1a'
  pen.textAlign = 'left'
  pen.fillText(title, x + inset, y + 14 * scale, w - 2 * inset)
  const wide = w - 2 * inset
  for (let k = 0; k < legendSteps; k++) {
    const [r, g, b] = colourAt((k + 0.5) / legendSteps)
    pen.fillStyle = `rgb(${r} ${g} ${b})`
    const from = Math.round(x + inset + (k * wide) / legendSteps)
    const to = Math.round(x + inset + ((k + 1) * wide) / legendSteps)
    pen.fillRect(from, Math.round(y + 26 * scale), to - from, Math.round(14 * scale))
  }
  pen.fillStyle = '#1f1d1a'
  for (const [k, align] of (['left', 'center', 'right'] as const).entries()) {
    pen.textAlign = align
    pen.fillText(figures[k]!, x + inset + (k * wide) / 2, y + 53 * scale)
  }
}

const legendSteps = 48
