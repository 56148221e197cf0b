import { expect, test } from 'vitest'
import type { Findings } from '../../src/findings.ts'
import { withoutNames } from '../../src/report/without-names.ts'

const file = (name: string) => ({ sha256: '0'.repeat(64), name, unitFactor: 1, repairs: [] })

test('no file name is left in findings that leave the program, in warnings and landmarks either', () => {
  const findings = {
    run: {
      meshes: [
        { bone: 'femur', ...file('doe.stl') },
        { bone: 'tibia', ...file('doe.stl') },
      ],
      companions: [{ part: 'femoral-head', ...file('old doe.stl') }],
    },
    landmarks: { hipCentre: { mm: [0, 0, 0], from: { part: 'femoral-head', file: 'old doe.stl' } } },
    warnings: [
      { code: 'a', message: 'The hip centre is read from old doe.stl.', spoils: [] },
      { code: 'b', message: 'doe.stl was wound inside out.', spoils: [] },
    ],
  } as unknown as Findings
  const left = withoutNames(findings)
  expect(JSON.stringify(left)).not.toContain('doe')
  expect(left.warnings.map(({ message }) => message)).toEqual([
    'The hip centre is read from the file of the femoral head.',
    'the femur’s file was wound inside out.',
  ])
})
