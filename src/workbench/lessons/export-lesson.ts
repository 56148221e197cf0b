import type { Lesson } from '../../casefile/lesson.ts'
import { lessonExtension, lessonText } from '../../casefile/lesson-file.ts'
import { storedZip } from '../../casefile/stored-zip.ts'
import { lessonHtml } from '../../report/lesson-html.ts'
import { procedureWords, recipeWords } from '../../report/words.ts'
import type { Workbench } from '../workbench.ts'
import { slidePicture } from './slide-picture.ts'
import { drawSlides } from './slides.ts'

/** Writes a lesson's words, edits and questions as a file of its own, to be opened on any knee. */
export async function saveLessonFile({ store, host }: Workbench, lesson: Lesson): Promise<void> {
  const saved = await host.save(`${nameOf(lesson)}${lessonExtension}`, lessonText(lesson), 'application/json')
  if (!saved.ok) store.getState().notify(saved.failure)
}

/** Plays the lesson on the knee that is open and writes it as one page that needs nothing else. */
export async function exportLessonHtml(workbench: Workbench, lesson: Lesson): Promise<void> {
  const { store, host } = workbench
  const knee = kneeWords(workbench)
  const drawn = await drawSlides(workbench, lesson)
  if (!drawn) return
  const slides = await Promise.all(
    drawn.map(async ({ slide, picture }) => ({ ...slide, picture: picture ? await dataAddress(picture) : null })),
  )
  const page = lessonHtml({ title: lesson.title, sentence: lesson.sentence, knee, slides })
  const saved = await host.save(`${nameOf(lesson)}.html`, page, 'text/html')
  if (!saved.ok) store.getState().notify(saved.failure)
}

/** Plays the lesson on the knee that is open and writes one picture per step, two where a question is asked, as a zip. */
export async function exportLessonPictures(workbench: Workbench, lesson: Lesson): Promise<void> {
  const { store, host } = workbench
  const drawn = await drawSlides(workbench, lesson)
  if (!drawn) return
  const files: Record<string, Uint8Array> = {}
  for (const [k, slide] of drawn.entries()) {
    const place = { lesson: lesson.title, number: k + 1, of: drawn.length }
    const name = `${String(k + 1).padStart(2, '0')}`
    if (slide.slide.question) files[`${name}-question.png`] = await slidePicture(slide, { ...place, reveal: false })
    files[`${name}.png`] = await slidePicture(slide, { ...place, reveal: true })
  }
  const saved = await host.save(`${nameOf(lesson)}.zip`, storedZip(files), 'application/zip')
  if (!saved.ok) store.getState().notify(saved.failure)
}

function kneeWords({ store }: Workbench): string {
  const { findings } = store.getState()
  if (!findings) return 'Numbers of the knee that was open'
  return `Numbers of one ${findings.side} knee, ${procedureWords[findings.procedure]}, ${recipeWords[findings.recipe]} recipe at the start`
}

async function dataAddress(png: Blob): Promise<string> {
  const bytes = new Uint8Array(await png.arrayBuffer())
  let binary = ''
  for (let k = 0; k < bytes.length; k += 0x8000) binary += String.fromCharCode(...bytes.subarray(k, k + 0x8000))
  return `data:image/png;base64,${btoa(binary)}`
}

const nameOf = (lesson: Lesson): string =>
  lesson.title
    .replaceAll(/[^\p{L}\p{N} _-]+/gu, '')
    .trim()
    .slice(0, 80) || 'lesson'
