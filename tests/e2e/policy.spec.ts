import { expect, listenForComplaints, test } from './harness.ts'

test.describe('the policy of every page, in a real browser', () => {
  test('stops inline script, evaluation, requests to elsewhere, frames and form posts', async ({ page, address }) => {
    await page.goto(address)
    const refused = await page.evaluate(async () => {
      const violated: string[] = []
      document.addEventListener('securitypolicyviolation', (event) => violated.push(event.effectiveDirective))
      const script = document.createElement('script')
      script.textContent = 'document.title = "taken over"'
      const frame = document.createElement('iframe')
      frame.src = 'https://elsewhere.invalid/'
      const picture = new Image()
      picture.src = 'https://elsewhere.invalid/a.png'
      const style = document.createElement('style')
      style.textContent = 'body { display: none }'
      const form = document.createElement('form')
      form.action = 'https://elsewhere.invalid/'
      document.body.append(script, frame, picture, style, form)
      form.submit()
      const fetched = await fetch('https://elsewhere.invalid/').then(
        () => true,
        () => false,
      )
      // A busy browser reports late; ten seconds are plenty for what it reports at all.
      for (let k = 0; k < 100 && new Set(violated).size < 6; k++)
        await new Promise((resolve) => setTimeout(resolve, 100))
      await new Promise((resolve) => setTimeout(resolve, 200))
      return {
        violated: [...new Set(violated)].sort(),
        fetched,
        title: document.title,
        shown: getComputedStyle(document.body).display,
      }
    })
    expect(refused.violated).toEqual([
      'connect-src',
      'form-action',
      'frame-src',
      'img-src',
      'script-src-elem',
      'style-src-elem',
    ])
    expect(refused).toMatchObject({ fetched: false, shown: 'block' })
    expect(refused.title).not.toBe('taken over')
  })

  test('lets the program itself start without a complaint', async ({ page, address }) => {
    const complaints = listenForComplaints(page, address)
    const reply = await page.goto(address)
    await expect(page.getByRole('heading').first()).toBeVisible()
    expect(reply!.headers()['content-security-policy']).toContain("default-src 'none'")
    expect(complaints).toEqual([])
  })
})
