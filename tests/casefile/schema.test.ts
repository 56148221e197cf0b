import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { currentVersion } from '../../src/casefile/migrations.ts'
import { caseText, parseCase, parseCaseText } from '../../src/casefile/schema.ts'
import { expectFailure, expectOk } from '../near.ts'

const fixtures = new URL('../fixtures/cases/', import.meta.url)

describe('the schema of a case', () => {
  it('reads back what it writes', () => {
    expect(expectOk(parseCaseText(caseText(newCase)))).toEqual(newCase)
  })

  it('fills what is missing from a new case', () => {
    expect(expectOk(parseCase({ version: 1, name: 'short', wear: { medialMm: 1 } }))).toEqual({
      ...newCase,
      name: 'short',
      wear: { ...newCase.wear, medialMm: 1 },
    })
  })

  it('opens one saved file of every released version', () => {
    const files = readdirSync(fixtures).filter((name) => name.endsWith('.json'))
    const versions = files.map((name) => Number(/^v(\d+)/.exec(name)?.[1]))
    for (let version = 1; version <= currentVersion; version++) expect(versions).toContain(version)
    for (const name of files) {
      const document = expectOk(parseCaseText(readFileSync(new URL(name, fixtures), 'utf8')))
      expect(document.version).toBe(currentVersion)
      expect(document.cuts.tibia.varusDeg).toBe(2.5)
      expect(document.landmarks.hipCentre?.mm).toEqual([-81.3, -92.9, 820.1])
    }
  })

  it('keeps cuts that depart from the component, and lays those of older cases on it', () => {
    const read = (name: string) => expectOk(parseCaseText(readFileSync(new URL(name, fixtures), 'utf8')))
    const onIt = { deeperMm: 0, flexionDeg: 0, medialDeg: 0 }
    for (const older of ['v1.json', 'v2.json'])
      for (const departure of Object.values(read(older).cuts.departures)) expect(departure).toEqual(onIt)
    const { departures } = read('v3.json').cuts
    expect(departures['femur-anterior']).toEqual({ ...onIt, deeperMm: 1 })
    expect(departures['femur-chamfer-posterior']).toEqual({ ...onIt, flexionDeg: 2 })
    expect(departures['femur-distal']).toEqual(onIt)
    const too = { ...departures, 'femur-distal': { ...onIt, deeperMm: 1e9 } }
    expectFailure(parseCase({ ...newCase, cuts: { ...newCase.cuts, departures: too } }), 'case/out-of-range')
  })

  it('keeps views and lessons, and gives older cases none', () => {
    const read = (name: string) => expectOk(parseCaseText(readFileSync(new URL(name, fixtures), 'utf8')))
    expect(read('v1.json')).toMatchObject({ views: [], lastView: null, lessons: [] })
    const { views, lessons } = read('v2.json')
    expect(views.map((view) => view.name)).toEqual(['From the front'])
    expect(lessons[0]?.steps[0]?.predict?.right.above).toEqual([87])
    const lesson = { ...lessons[0], steps: [{ ...lessons[0]?.steps[0], script: 'alert(1)' }] }
    expectFailure(parseCase({ ...newCase, lessons: [lesson] }), 'case/unknown-path')
    const looked = { ...views[0], camera: { ...views[0]?.camera, direction: [5, 0, 0] } }
    expectFailure(parseCase({ ...newCase, views: [looked] }), 'case/out-of-range')
  })

  it('refuses a newer version clearly', () => {
    expectFailure(parseCase({ ...newCase, version: currentVersion + 1 }), 'case/newer-version')
  })

  it('refuses what is no case, and names the field that is wrong', () => {
    for (const wrong of [null, 3, 'case', [], {}, { version: '1' }, { version: 0 }, { version: 1.5 }])
      expectFailure(parseCase(wrong), 'case/syntax')
    expectFailure(parseCaseText('{"version": 1'), 'case/syntax')
    const unknown = parseCase({ ...newCase, saw: { kerfMm: 1, teeth: 3 } })
    expectFailure(unknown, 'case/unknown-path')
    expect(unknown.ok ? '' : unknown.failure.place).toBe('saw')
    const wide = parseCase({ ...newCase, saw: { kerfMm: 30 } })
    expectFailure(wide, 'case/out-of-range')
    expect(wide.ok ? '' : wide.failure.place).toBe('saw.kerfMm')
    const hash = { femur: { sha256: 'x', name: 'f', unitFactor: 1 }, tibia: null }
    expectFailure(parseCase({ ...newCase, meshes: hash }), 'case/syntax')
    expectFailure(
      parseCase({ ...newCase, limits: { limbDeg: 3, jointLineLowDeg: 95, jointLineHighDeg: 85 } }),
      'case/out-of-range',
    )
  })
})
