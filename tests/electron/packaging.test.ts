import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { openedExtensions } from '../../electron/accepted-file.ts'

const root = new URL('../../', import.meta.url)
const read = (path: string): unknown => JSON.parse(readFileSync(fileURLToPath(new URL(path, root)), 'utf8'))

const packaging = z
  .object({
    files: z.array(z.string()),
    asar: z.boolean(),
    publish: z.null(),
    icon: z.string(),
    fileAssociations: z.array(z.object({ ext: z.string(), role: z.string() })),
    linux: z.object({ target: z.array(z.string()) }),
    mac: z.object({ target: z.array(z.string()), hardenedRuntime: z.boolean() }),
    win: z.object({ target: z.array(z.string()) }),
    electronFuses: z.record(z.string(), z.boolean()),
  })
  .parse(read('electron/packaging.json'))

const manifest = z.object({ main: z.string(), scripts: z.record(z.string(), z.string()) }).parse(read('package.json'))

describe('the installers', () => {
  it('have every fuse set that keeps foreign code out of the program', () => {
    expect(packaging.electronFuses).toEqual({
      runAsNode: false,
      enableCookieEncryption: true,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      enableEmbeddedAsarIntegrityValidation: true,
      onlyLoadAppFromAsar: true,
      loadBrowserProcessSpecificV8Snapshot: false,
      grantFileProtocolExtraPrivileges: false,
    })
    expect(packaging.asar).toBe(true)
    expect(packaging.mac.hardenedRuntime).toBe(true)
  })

  it('are made for Windows, macOS and Linux and published nowhere', () => {
    for (const system of [packaging.win, packaging.mac, packaging.linux])
      expect(system.target.length).toBeGreaterThan(0)
    expect(packaging.publish).toBeNull()
  })

  it('open exactly the kinds of file the program takes, and only edit its own', () => {
    expect(packaging.fileAssociations.map((kind) => `.${kind.ext}`).sort()).toEqual([...openedExtensions].sort())
    expect(packaging.fileAssociations.filter((kind) => kind.role === 'Editor').map((kind) => kind.ext)).toEqual([
      'floorline',
      'floorlesson',
    ])
  })

  it('hold the built program and its demo cases, and no packages', () => {
    expect(packaging.files).toEqual(
      expect.arrayContaining(['dist/electron/**', 'dist/window/**', 'dist/demo/**', '!node_modules/**']),
    )
    expect(manifest.main).toBe('dist/electron/main.js')
  })

  it('carry an icon large enough for every system', () => {
    const png = readFileSync(fileURLToPath(new URL(packaging.icon, root)))
    expect(png.readUInt32BE(16)).toBeGreaterThanOrEqual(512)
    expect(png.readUInt32BE(16)).toBe(png.readUInt32BE(20))
  })
})
