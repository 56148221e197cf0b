import { readFileSync } from 'node:fs'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { scaleMesh } from '../../src/geometry/transform.ts'
import { sharedPath } from '../shared.ts'
import { ledger, openThroughDialog, planned, stage } from './bones.ts'
import { expect, test } from './harness.ts'

const holes = sharedPath('bones', 'defects', 'femur_left_holes.ply')
const tibia = sharedPath('bones', 'hra', 'tibia_left.ply')

test('holes are listed, shown, previewed and filled, each as a step that can be undone', async ({ window: page }) => {
  await openThroughDialog(page, [holes, tibia])
  await planned(page)
  await expect(ledger(page)).toContainText(/femur \d+\.\d ± \d+\.\d cm³/)
  const femur = page.getByRole('region', { name: 'Femur' })
  const problems = femur.getByRole('list', { name: 'Problems of the femur' }).getByRole('listitem')
  await expect(problems).toHaveCount(3)
  await expect(femur).toContainText(/Volume\s*\d+\.\d ± \d+\.\d cm³/)
  const smallest = problems.filter({ hasText: 'border of 81 mm' })
  await smallest.getByRole('button', { name: 'Show' }).click()
  await expect(smallest).toHaveAttribute('data-pointed', 'true')
  await smallest.getByRole('button', { name: 'Preview' }).click()
  await expect(smallest).toContainText('97 boundary edges left')
  await expect(problems).toHaveCount(3)
  await smallest.getByRole('button', { name: 'End preview' }).click()
  await expect(smallest).not.toContainText('boundary edges left')
  for (const left of [2, 1, 0]) {
    await problems.first().getByRole('button', { name: 'Repair', exact: true }).click()
    await expect(problems).toHaveCount(left)
  }
  await expect(femur).toContainText('closed')
  await expect(ledger(page)).toContainText(/femur \d+\.\d cm³/)
  await femur.getByRole('button', { name: 'Look for self-crossings' }).click()
  await expect(femur).toContainText(/nowhere runs through itself|run through each other/)
  await page.keyboard.press('Control+z')
  await expect(problems).toHaveCount(1)
  await expect(femur).toContainText('open')
  await femur.getByRole('button', { name: 'Take back the last' }).click()
  await expect(problems).toHaveCount(2)
  await page.keyboard.press('Control+z')
  await expect(problems).toHaveCount(1)
})

test('bones in metres are asked about with the sizes that each unit would give them', async ({ window: page }) => {
  const inMetres = [sharedPath('bones', 'hra', 'femur_left.ply'), tibia].map((path) => {
    const read = readMesh(new Uint8Array(readFileSync(path)), path)
    if (!read.ok) throw new Error(read.failure.message)
    const bytes = writePly(scaleMesh(read.value.mesh, 0.001), { precision: 'double' })
    return { name: `metres-${path.split('/').at(-1)}`, mimeType: 'model/ply', buffer: Buffer.from(bytes) }
  })
  await openThroughDialog(page, inMetres)
  for (const [name, size] of [
    ['metres-femur_left.ply', /Metres\s*42\d × \d+ × \d+\S* mm the size of a bone/],
    ['metres-tibia_left.ply', /Metres\s*3\d\d × \d+\S* × \d+\S* mm the size of a bone/],
  ] as const) {
    const question = page.getByRole('dialog', { name: `Which unit is ${name} in?` })
    await expect(question).toContainText(size)
    await question.getByRole('button', { name: 'Metres', exact: true }).click()
  }
  await planned(page)
  await stage(page, 'Bones').click()
  await expect(page.getByRole('region', { name: 'Femur' })).toContainText('× 1000 to mm')
})
