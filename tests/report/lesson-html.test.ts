import { expect, test } from 'vitest'
import { lessonHtml, type Slide } from '../../src/report/lesson-html.ts'

const slide: Slide = {
  title: 'Cut',
  words: 'MPTA 87.0°',
  notes: '',
  question: null,
  ask: '',
  picture: null,
  drawing: null,
}
const show = (slides: readonly Slide[]) => lessonHtml({ title: 'T', sentence: 'S', knee: 'K', slides })

test('a written lesson has a section per step and the caution in each, and reaches for nothing outside itself', () => {
  const page = show([slide, { ...slide, picture: 'data:image/png;base64,AAAA' }])
  expect(page.match(/<section /g)).toHaveLength(2)
  expect(page.match(/not a medical device/g)).toHaveLength(3)
  expect(page).toContain("default-src 'none'; style-src 'unsafe-inline'; img-src data:")
  expect(page).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/)
})

test('words of a lesson are inert, and only a PNG becomes a picture', () => {
  const evil = '</h2><script>alert(1)</script>'
  const page = show([
    { ...slide, title: evil, words: evil, notes: evil, ask: evil, picture: `javascript:alert(1)//"${evil}` },
  ])
  expect(page).not.toContain('<script')
  expect(page).not.toContain('javascript:')
  expect(page).not.toContain('<img')
})

test('a question opens to its answer', () => {
  const question = { words: 'Where?', answers: ['here', 'there'], right: 'there' }
  const page = show([{ ...slide, question }])
  expect(page.indexOf('Where?')).toBeLessThan(page.indexOf('<details>'))
  expect(page.indexOf('MPTA 87.0°')).toBeGreaterThan(page.indexOf('<details>'))
})
