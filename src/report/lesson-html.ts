import { caution, programVersion } from '../casefile/program.ts'
import type { StanceDrawing } from '../stance/drawing.ts'
import { escaped } from './escaped.ts'
import { stanceSvg } from './stance-svg.ts'

/** One step of a lesson as it stood on one knee: words filled with its numbers, the view as it was seen. */
export interface Slide {
  readonly title: string
  readonly words: string
  readonly notes: string
  readonly question: { readonly words: string; readonly answers: readonly string[]; readonly right: string } | null
  /** What a trainee is asked to do at this step; empty where nothing is asked. */
  readonly ask: string
  /** A `data:` address of a PNG; null where there was no 3D view. */
  readonly picture: string | null
  readonly drawing: StanceDrawing | null
}

export interface SlideShow {
  readonly title: string
  readonly sentence: string
  /** What the numbers are of, without any name. */
  readonly knee: string
  readonly slides: readonly Slide[]
}

/**
 * A lesson as one self-contained page: a step fills the window, page and arrow keys go on. No script, nothing loaded from
 * elsewhere, pictures inlined; every text is escaped, a picture that is no PNG is left out. Questions open to their answer.
 */
export function lessonHtml({ title, sentence, knee, slides }: SlideShow): string {
  const steps = slides.map((slide, k) => section(slide, k + 1, slides.length))
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>${style}</style>
</head>
<body>
<header><h1>${escaped(title)}</h1><p>${escaped(sentence)}</p><p class="small">${escaped(knee)} · Floorline ${programVersion}</p><p class="caution">${escaped(caution)}</p></header>
<main>
${steps.join('\n')}
</main>
</body>
</html>
`
}

function section(slide: Slide, number: number, of: number): string {
  const picture =
    slide.picture?.startsWith('data:image/png;base64,') === true
      ? `<figure class="view"><img src="${escaped(slide.picture)}" alt="3D view of the knee at this step"></figure>`
      : ''
  const drawing = slide.drawing ? `<figure class="stands">${stanceSvg(slide.drawing)}</figure>` : ''
  const words = `<p class="words">${escaped(slide.words)}</p>${drawing}`
  const told = slide.question
    ? `<p class="words">${escaped(slide.question.words)}</p><ol>${slide.question.answers.map((a) => `<li>${escaped(a)}</li>`).join('')}</ol><details><summary>On this knee</summary><p class="words"><strong>${escaped(slide.question.right)}</strong></p>${words}</details>`
    : words
  const ask = slide.ask === '' ? '' : `<p class="ask">${escaped(slide.ask)}</p>`
  const notes =
    slide.notes === '' ? '' : `<details class="notes"><summary>Notes</summary><p>${escaped(slide.notes)}</p></details>`
  return `<section id="step-${number}" aria-label="Step ${number} of ${of}"><div class="tell"><p class="small">${number} / ${of}</p><h2>${escaped(slide.title)}</h2>${ask}${told}${notes}</div>${picture}<p class="caution">${escaped(caution)}</p></section>`
}

const style = `
:root { color-scheme: light }
* { box-sizing: border-box }
html { scroll-snap-type: y proximity }
body { margin: 0; font: clamp(15px, 1.35vw, 26px)/1.45 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; color: #1f1d1a; background: #fbfaf7; font-variant-numeric: tabular-nums }
header { padding: 6vh 5vw 4vh; max-width: 60em }
h1 { font-size: 2em; margin: 0; overflow-wrap: anywhere }
h2 { font-size: 1.7em; line-height: 1.15; margin: .2em 0 .5em; overflow-wrap: anywhere }
section { min-height: 100vh; scroll-snap-align: start; display: grid; grid-template: minmax(0, 1fr) auto / minmax(0, 2fr) minmax(0, 3fr); gap: 1em 2em; padding: 4vh 4vw 2vh; border-top: 1px solid #e1dace }
.tell { overflow-wrap: anywhere }
.words { margin: 0 0 .8em }
.ask { border-left: 4px solid #d1532c; padding-left: .7em }
figure { margin: 0 }
.view img { width: 100%; max-height: 82vh; object-fit: contain }
.stands svg { width: 100%; max-height: 42vh; height: auto }
.caution, .small { font-size: .68em; color: #57432a; margin: .3em 0 }
section > .caution { grid-column: 1 / -1 }
summary { cursor: pointer; font-weight: 600; padding: .3em 0 }
@media (max-width: 800px) { section { grid-template: auto / minmax(0, 1fr) } }
@media print { section { break-after: page; min-height: 0 } }
`
