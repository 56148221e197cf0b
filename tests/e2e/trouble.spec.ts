import { bigFigure, ledger, openThroughDialog, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const file = (name: string, text: string) => ({ name, mimeType: 'model/stl', buffer: Buffer.from(text) })

test('broken files are named with what is wrong, and nothing that is open is lost', async ({ leg: page }) => {
  const figure = await bigFigure(page).textContent()
  await openThroughDialog(page, [
    file('empty.stl', ''),
    file('letter.stl', 'Dear colleague, here is no mesh.'),
    file(
      'cut-short.ply',
      'ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n',
    ),
  ])
  for (const name of ['empty.stl', 'letter.stl', 'cut-short.ply'])
    await expect(page.getByRole('alert').filter({ hasText: name })).toBeVisible()
  await page.getByRole('button', { name: 'Dismiss' }).first().click()
  await expect(page.getByRole('alert').filter({ hasText: 'empty.stl' })).toBeHidden()
  await expect(bigFigure(page)).toHaveText(figure!)
  await stage(page, 'Bones').click()
  await expect(page.getByRole('region', { name: 'Femur' })).toContainText('femur_right.stl')
})

test('a wrong declared side withholds the numbers and says how to settle it', async ({ leg: page }) => {
  const figure = await bigFigure(page).textContent()
  await stage(page, 'Bones').click()
  await page.getByText('Left', { exact: true }).click()
  await expect(bigFigure(page)).toHaveText('–')
  await expect(ledger(page).getByRole('alert')).toHaveAttribute('data-code', 'anatomy/side-contradiction')
  await expect(ledger(page).getByRole('row', { name: /LDFA/ })).not.toContainText(/\d/)
  await ledger(page).getByRole('button', { name: 'Take the side from shape' }).click()
  await expect(bigFigure(page)).toHaveText(figure!)
})

test('a bone whose shape does not say what it is is asked about', async ({ window: page }) => {
  const corners = [
    [0, 0, 0],
    [60, 0, 0],
    [0, 60, 0],
    [0, 0, 60],
  ]
  const faces = [
    [0, 2, 1],
    [0, 1, 3],
    [0, 3, 2],
    [1, 2, 3],
  ]
  const facets = faces.map(
    (f) =>
      `facet normal 0 0 0\nouter loop\n${f.map((v) => `vertex ${corners[v]!.join(' ')}`).join('\n')}\nendloop\nendfacet`,
  )
  await openThroughDialog(page, [file('block.stl', `solid block\n${facets.join('\n')}\nendsolid block\n`)])
  const question = page.getByRole('dialog', { name: 'Which bone is block.stl?' })
  await expect(question).toContainText('4 triangles')
  await question.getByRole('button', { name: 'Tibia', exact: true }).click()
  await expect(page.getByRole('region', { name: 'Tibia' })).toContainText('block.stl')
  await expect(page.getByRole('region', { name: 'Tibia' }).getByRole('alert')).toBeVisible()
})
