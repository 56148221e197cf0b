/** What is written over the 3D view and belongs to what is seen there. */
const labelled = '.view-tag, .edge-letter, .scale-bar, .piece-caption, [data-picture-label]'

/** Draws the words that lie over the view, where and as large as they are on the page, onto a picture of it. */
export function drawLabels(pen: OffscreenCanvasRenderingContext2D, view: Element, scale: number): void {
  const frame = view.getBoundingClientRect()
  for (const label of view.closest('.view')?.querySelectorAll<HTMLElement>(labelled) ?? []) {
    const box = label.getBoundingClientRect()
    const style = getComputedStyle(label)
    if (label.hidden || box.width === 0 || style.visibility === 'hidden') continue
    const [x, y] = [(box.left - frame.left) * scale, (box.top - frame.top) * scale]
    const [w, h] = [box.width * scale, box.height * scale]
    const line = label.querySelector('.scale-bar-line')
    if (line) drawLine(pen, line, frame, scale)
    else if (style.backgroundColor !== 'rgba(0, 0, 0, 0)') {
      pen.fillStyle = style.backgroundColor
      pen.strokeStyle = style.borderTopColor
      pen.lineWidth = scale
      pen.beginPath()
      pen.roundRect(x, y, w, h, 6 * scale)
      pen.fill()
      pen.stroke()
    }
    pen.font = `${style.fontWeight} ${Number.parseFloat(style.fontSize) * scale}px ${style.fontFamily}`
    pen.fillStyle = style.color
    pen.textAlign = 'center'
    pen.textBaseline = line ? 'alphabetic' : 'middle'
    pen.fillText(label.textContent ?? '', x + w / 2, line ? y + h - 4 * scale : y + h / 2, w)
  }
}

/** The scale bar: a line with an upright at each end. */
function drawLine(pen: OffscreenCanvasRenderingContext2D, line: Element, frame: DOMRect, scale: number): void {
  const box = line.getBoundingClientRect()
  const [left, right] = [(box.left - frame.left) * scale, (box.right - frame.left) * scale]
  const [top, bottom] = [(box.top - frame.top) * scale, (box.bottom - frame.top) * scale]
  pen.strokeStyle = getComputedStyle(line).borderBottomColor
  pen.lineWidth = 1.5 * scale
  pen.beginPath()
  pen.moveTo(left, top)
  pen.lineTo(left, bottom)
  pen.lineTo(right, bottom)
  pen.lineTo(right, top)
  pen.stroke()
}
