import { caution, programVersion } from '../../casefile/program.ts'
import { withText } from '../../report/png-text.ts'
import { stanceSvg } from '../../report/stance-svg.ts'
import type { DrawnSlide } from './slides.ts'

const width = 1920
const height = 1080
const margin = 72
const column = 640

/** A step as one picture for a slide, 1920 × 1080: words on the left, the view on the right, the caution below. */
export async function slidePicture(
  { slide, picture }: DrawnSlide,
  { lesson, number, of, reveal }: { lesson: string; number: number; of: number; reveal: boolean },
): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = new OffscreenCanvas(width, height)
  const pen = canvas.getContext('2d')!
  pen.fillStyle = '#fbfaf7'
  pen.fillRect(0, 0, width, height)
  const write = (words: string, size: number, y: number, options: { weight?: number; colour?: string } = {}) => {
    pen.font = `${options.weight ?? 400} ${size}px Inter, system-ui, sans-serif`
    pen.fillStyle = options.colour ?? '#1f1d1a'
    let line = y
    for (const text of wrapped(pen, words, column)) {
      pen.fillText(text, margin, line)
      line += size * 1.36
    }
    return line
  }
  write(`${lesson} · ${number} of ${of}`, 24, 84, { colour: '#655e53' })
  let y = write(slide.title, 54, 160, { weight: 620 }) + 12
  if (slide.ask) y = write(slide.ask, 32, y, { colour: '#9f3712' }) + 16
  if (slide.question && !reveal) {
    y = write(slide.question.words, 34, y) + 16
    for (const [k, answer] of slide.question.answers.entries()) y = write(`${k + 1}.  ${answer}`, 32, y) + 6
  } else {
    if (slide.question) y = write(slide.question.right, 32, y, { weight: 620, colour: '#9f3712' }) + 12
    y = write(slide.words, 32, y) + 12
  }
  if (slide.drawing && (reveal || !slide.question)) {
    const stands = await imageOf(stanceSvg(slide.drawing, 720))
    contain(pen, stands, stands.width, stands.height, [margin, y, column, Math.max(0, height - 90 - y)])
  }
  if (picture) {
    const view = await createImageBitmap(picture)
    contain(pen, view, view.width, view.height, [
      margin + column + 56,
      60,
      width - 2 * margin - column - 56,
      height - 170,
    ])
  }
  pen.font = '400 19px Inter, system-ui, sans-serif'
  pen.fillStyle = '#57432a'
  pen.fillText(`Floorline ${programVersion}. ${caution.replace(/^Floorline is/, 'It is')}`, margin, height - 36)
  const png = await canvas.convertToBlob({ type: 'image/png' })
  return withText(new Uint8Array(await png.arrayBuffer()), 'Comment', caution)
}

function contain(
  pen: OffscreenCanvasRenderingContext2D,
  image: CanvasImageSource,
  w: number,
  h: number,
  [x, y, boxWidth, boxHeight]: readonly [number, number, number, number],
): void {
  const scale = Math.min(boxWidth / w, boxHeight / h)
  if (!(scale > 0)) return
  pen.drawImage(image, x + (boxWidth - w * scale) / 2, y + (boxHeight - h * scale) / 2, w * scale, h * scale)
}

function wrapped(pen: OffscreenCanvasRenderingContext2D, words: string, most: number): readonly string[] {
  const lines: string[] = []
  for (const paragraph of words.split('\n')) {
    let line = ''
    for (const word of paragraph.split(' ')) {
      const longer = line === '' ? word : `${line} ${word}`
      if (line !== '' && pen.measureText(longer).width > most) {
        lines.push(line)
        line = word
      } else line = longer
    }
    lines.push(line)
  }
  return lines
}

function imageOf(svg: string): Promise<HTMLImageElement> {
  const image = new Image()
  return new Promise((resolve, reject) => {
    image.addEventListener('load', () => resolve(image))
    image.addEventListener('error', () => reject(new Error('a drawing could not be read')))
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`
  })
}
