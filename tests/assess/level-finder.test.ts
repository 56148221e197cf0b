import { describe, expect, it } from 'vitest'
import { assess } from '../../src/assess.ts'
import { newCase } from '../../src/casefile/document.ts'
import { setPath } from '../../src/casefile/set-path.ts'
import { findLevelCut } from '../../src/studies/level-finder.ts'
import { expectNear, expectOk } from '../near.ts'
import { hra } from './shared-bones.ts'

describe('the cut that stands level', () => {
  for (const side of ['right', 'left'] as const)
    it(`stands level side to side in the shown pose on the ${side} leg, and says what is left and what it assumed`, () => {
      const bones = hra(side)
      for (const pose of ['feet-together', 'natural'] as const) {
        const document = expectOk(setPath(newCase, 'stance.pose', pose))
        const level = expectOk(findLevelCut(document, bones))
        const findings = expectOk(assess(expectOk(setPath(document, 'cuts.tibia.varusDeg', level.varusDeg)), bones))
        const standing = findings.stance.find((s) => s.pose === pose)!
        expectNear(standing.trayToFloorCoronalDeg, 0, { absDeg: 1e-5, because: 'that is what level means' })
        expectNear(standing.trayToFloorSagittalDeg, level.trayToFloorSagittalDeg, {
          absDeg: 1e-9,
          because: 'same case',
        })
        expectNear(level.mptaDeg, 90 - level.varusDeg, { absDeg: 1e-6, because: 'signs of the conventions' })
        const vertical = findings.loading.find((l) => l.pose === pose && l.direction === 'vertical')!
        expectNear(vertical.shearCoronal, 0, { abs: 1e-6, because: 'level side to side' })
        expectNear(vertical.shearToCompression, level.shearVertical, { abs: 1e-9, because: 'same case' })
        expect(level.spacingSource).toBe('assumed')
      }
    })
})
