import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { contract } from '../../electron/contract.ts'
import { type FakeShell, fakeShell } from './fake-shell.ts'
import { ipcRenderer, sender } from './stub.ts'

let shell: FakeShell
const at = (name: string) => join(shell.folder, name)
const own = { ...sender.current }
const bytes = new TextEncoder().encode('a case')

beforeEach(async () => {
  shell = await fakeShell()
})
afterEach(() => {
  sender.current = own
  shell.remove()
})

describe('the way between window and main process', () => {
  const strangers = {
    'another window': { ...own, sender: { id: 2 } },
    'a frame inside ours': { ...own, senderFrame: { url: 'app://bundle/', parent: {} } },
    'a page from elsewhere': { ...own, senderFrame: { url: 'https://elsewhere.example/', parent: null } },
    'a look-alike host': { ...own, senderFrame: { url: 'app://bundle.elsewhere/', parent: null } },
    'a file page': { ...own, senderFrame: { url: 'file:///bundle/', parent: null } },
    'a blank page': { ...own, senderFrame: { url: 'about:blank', parent: null } },
    'a frame that is gone': { ...own, senderFrame: null },
  }

  it.each(Object.entries(strangers))('refuses and logs every channel when called by %s', async (_who, stranger) => {
    sender.current = stranger
    for (const channel of Object.keys(contract))
      await expect(ipcRenderer.invoke(channel, undefined)).rejects.toThrow('Refused.')
    expect(shell.log).toHaveLength(Object.keys(contract).length)
    expect(shell.log.every((event) => event.what === 'ipc-refused' && event.why === 'sender')).toBe(true)
  })

  const malformed: readonly [string, unknown][] = [
    ['files:choose', undefined],
    ['files:choose', { what: 'everything' }],
    ['files:choose', { what: 'case', more: 1 }],
    ['files:dropped', { path: '' }],
    ['files:dropped', { path: 7 }],
    ['files:dropped', { path: 'x'.repeat(5000) }],
    ['files:recent', { extra: true }],
    ['files:reopen', { token: '../secret' }],
    ['files:save', { token: null, name: '../knee.floorline', kind: 'case', bytes }],
    ['files:save', { token: null, name: 'a/b.floorline', kind: 'case', bytes }],
    ['files:save', { token: null, name: 'a\\b.floorline', kind: 'case', bytes }],
    ['files:save', { token: null, name: '.hidden', kind: 'case', bytes }],
    ['files:save', { token: null, name: 'knee\u0000.csv', kind: 'case', bytes }],
    ['files:save', { token: null, name: 'knee', kind: 'exe', bytes }],
    ['files:save', { token: null, name: 'knee', kind: 'case', bytes: 'text' }],
    ['files:save', { token: null, name: 'knee', kind: 'case', bytes: [1, 2, 3] }],
    ['recovery:discard', { token: 5 }],
    ['window:unsaved', { unsaved: 'yes', name: '' }],
    ['menu:show', { menu: [{ label: 'File', groups: [[{ id: 'x' }]] }] }],
    ['clipboard:picture', { png: null }],
  ]

  it.each(malformed)('refuses and logs malformed arguments to %s: %j', async (channel, input) => {
    await expect(ipcRenderer.invoke(channel, input)).rejects.toThrow('Refused.')
    expect(shell.log).toEqual([{ what: 'ipc-refused', why: 'arguments', channel }])
    expect(readdirSync(shell.folder)).toEqual([])
  })

  it('refuses a second argument', async () => {
    await expect(ipcRenderer.invoke('files:choose', { what: 'case' }, 'more')).rejects.toThrow('Refused.')
  })

  it('shows the window functions only, none of them named after Electron', () => {
    for (const [name, value] of Object.entries(shell.bridge)) {
      expect(typeof value, name).toBe('function')
      expect(name).not.toMatch(/ipc|invoke|send|require|process/i)
    }
  })
})

describe('opening', () => {
  it('gives name, size and a token for a chosen file, and its bytes for the token', async () => {
    writeFileSync(at('Femur.STL'), 'solid')
    shell.next.paths = [at('Femur.STL')]
    const chosen = await shell.bridge.chooseFiles('meshes')
    if (!chosen.ok) throw new Error(chosen.failure.message)
    expect(chosen.value).toEqual([{ token: expect.stringMatching(/^[0-9a-f]{32}$/), name: 'Femur.STL', sizeBytes: 5 }])
    expect(JSON.stringify(chosen)).not.toContain(shell.folder)
    expect(new TextDecoder().decode((await shell.read(chosen.value[0]!.token))!)).toBe('solid')
  })

  it('says of a chosen file that cannot be opened why, and opens the others', async () => {
    writeFileSync(at('bone.ply'), 'ply')
    shell.next.paths = [at('gone.stl'), at('bone.ply')]
    const chosen = await shell.bridge.chooseFiles('meshes')
    expect(chosen.ok && chosen.value.map((file) => file.name)).toEqual(['bone.ply'])
    expect(shell.told.map((failure) => failure.code)).toEqual(['file/unreadable'])
  })

  it('takes a dropped file through the same gate', async () => {
    writeFileSync(at('tibia.ply'), 'ply')
    const dropped = { testPath: at('tibia.ply') } as unknown as File
    expect(await shell.bridge.droppedFile(dropped)).toMatchObject({ ok: true, value: { name: 'tibia.ply' } })
  })

  it.each([
    ['a program', 'tool.exe', 'format/unsupported'],
    ['a text', 'notes.txt', 'format/unsupported'],
    ['a missing file', 'gone.stl', 'file/unreadable'],
    ['a folder named like a mesh', 'folder.stl', 'file/unreadable'],
    ['a link that looks like a mesh and is none', 'link.stl', 'format/unsupported'],
  ])('refuses %s', async (_what, name, code) => {
    writeFileSync(at('tool.exe'), 'MZ')
    writeFileSync(at('notes.txt'), 'words')
    mkdirSync(at('folder.stl'))
    symlinkSync(at('notes.txt'), at('link.stl'))
    expect(await shell.bridge.droppedFile({ testPath: at(name) } as unknown as File)).toMatchObject({
      ok: false,
      failure: { code },
    })
  })

  it.each([
    '//server/share/bone.stl',
    '\\\\server\\share\\bone.stl',
    '\\\\.\\C:\\bone.stl',
    '/dev/fd/0.stl',
    'bone.stl',
    '/proc/self/bone.stl',
  ])('refuses the network, device or relative path %s without looking at it', async (testPath) => {
    expect(await shell.bridge.droppedFile({ testPath } as unknown as File)).toMatchObject({
      ok: false,
      failure: { code: 'file/unreadable' },
    })
  })

  it('gives no bytes for a token it never handed out, nor after the file has gone', async () => {
    expect(await shell.read('0'.repeat(32))).toBeNull()
    writeFileSync(at('bone.stl'), 'solid')
    const ticket = await shell.bridge.droppedFile({ testPath: at('bone.stl') } as unknown as File)
    rmSync(at('bone.stl'))
    expect(ticket.ok && (await shell.read(ticket.value.token))).toBeNull()
  })

  it('hands over files that came before the window listened, and those that come later', async () => {
    writeFileSync(at('first.stl'), 'solid')
    writeFileSync(at('second.ply'), 'ply')
    await shell.arrived.bring([at('first.stl'), at('tool.exe')])
    const heard: string[][] = []
    const stop = shell.bridge.on(
      'files:arrived',
      ({ files, refused }) =>
        void heard.push([...files.map((file) => file.name), ...refused.map((name) => `refused ${name}`)]),
    )
    await expect.poll(() => heard).toEqual([['first.stl', 'refused tool.exe']])
    await shell.arrived.bring([at('second.ply')])
    expect(heard[1]).toEqual(['second.ply'])
    stop()
    await shell.arrived.bring([at('second.ply')])
    expect(heard).toHaveLength(2)
  })
})

describe('saving', () => {
  it('asks where, then saves there again by token without asking, and keeps one backup', async () => {
    shell.next.savePath = at('knee')
    const first = await shell.bridge.save({ token: null, name: 'knee', kind: 'case', bytes })
    if (!first.ok || !first.value) throw new Error('not saved')
    expect(first.value.name).toBe('knee.floorline')
    shell.next.savePath = at('elsewhere')
    const again = new TextEncoder().encode('changed')
    await shell.bridge.save({ token: first.value.token, name: 'knee', kind: 'case', bytes: again })
    expect(readFileSync(at('knee.floorline'), 'utf8')).toBe('changed')
    expect(readFileSync(at('knee.floorline.bak'), 'utf8')).toBe('a case')
    expect(readdirSync(shell.folder).sort()).toEqual(['knee.floorline', 'knee.floorline.bak', 'own'])
  })

  it('is no failure when the user changes their mind', async () => {
    expect(await shell.bridge.save({ token: null, name: 'knee', kind: 'case', bytes })).toEqual({
      ok: true,
      value: null,
    })
    expect(readdirSync(shell.folder)).toEqual([])
  })

  it('never writes over an opened mesh: a token is only good for its own kind', async () => {
    writeFileSync(at('femur.stl'), 'solid')
    const ticket = await shell.bridge.droppedFile({ testPath: at('femur.stl') } as unknown as File)
    if (!ticket.ok) throw new Error(ticket.failure.message)
    const saved = await shell.bridge.save({ token: ticket.value.token, name: 'knee', kind: 'case', bytes })
    expect(saved).toMatchObject({ ok: false, failure: { code: 'format/unsupported' } })
    expect(readFileSync(at('femur.stl'), 'utf8')).toBe('solid')
  })

  it('reports a folder that is not there in a sentence without the path', async () => {
    shell.next.savePath = at('missing/knee.floorline')
    const saved = await shell.bridge.save({ token: null, name: 'knee', kind: 'case', bytes })
    expect(saved).toMatchObject({ ok: false, failure: { code: 'file/unreadable' } })
    expect(JSON.stringify(saved)).not.toContain(shell.folder)
  })

  it('lists saved cases as recent, newest first, ten at most, and says which are missing', async () => {
    for (let i = 0; i < 12; i++) {
      shell.next.savePath = at(`knee ${i}.floorline`)
      await shell.bridge.save({ token: null, name: 'knee', kind: 'case', bytes })
    }
    rmSync(at('knee 10.floorline'))
    const recent = await shell.bridge.recentFiles()
    expect(recent.map((file) => [file.name, file.present])).toEqual(
      [11, 10, 9, 8, 7, 6, 5, 4, 3, 2].map((i) => [`knee ${i}.floorline`, i !== 10]),
    )
    expect(await shell.bridge.reopen(recent[0]!.token)).toMatchObject({
      ok: true,
      value: { name: 'knee 11.floorline' },
    })
    expect(await shell.bridge.reopen(recent[1]!.token)).toMatchObject({
      ok: false,
      failure: { code: 'file/unreadable' },
    })
    await shell.bridge.forgetRecentFiles()
    expect(await shell.bridge.recentFiles()).toEqual([])
  })

  it('saves the printed page as PDF where the user wants it', async () => {
    shell.next.savePath = at('report')
    expect(await shell.bridge.printPdf('report')).toMatchObject({ ok: true, value: { name: 'report.pdf' } })
    expect(readFileSync(at('report.pdf'), 'utf8')).toBe('%PDF-')
  })
})

describe('unsaved work', () => {
  it('is kept apart from the user file, readable by the user alone, and offered by the next run', async () => {
    await shell.bridge.writeRecovery(bytes)
    expect(await shell.bridge.recoveries()).toEqual([])
    const folder = at('own/recovery')
    expect(statSync(folder).mode & 0o077).toBe(0)
    const next = await fakeShell(shell.folder)
    const [left, ...more] = await next.bridge.recoveries()
    expect(more).toEqual([])
    expect(new TextDecoder().decode((await next.read(left!.token))!)).toBe('a case')
    await next.bridge.discardRecovery(left!.token)
    expect(readdirSync(folder)).toEqual([])
  })

  it('cannot be used to remove any other file', async () => {
    writeFileSync(at('knee.floorline'), 'a case')
    const ticket = await shell.bridge.droppedFile({ testPath: at('knee.floorline') } as unknown as File)
    await shell.bridge.discardRecovery(ticket.ok ? ticket.value.token : null)
    expect(existsSync(at('knee.floorline'))).toBe(true)
  })

  it('closes at once when nothing is unsaved, and removes the recovery file', async () => {
    await shell.bridge.writeRecovery(bytes)
    await shell.wishToClose()
    expect(shell.done).toEqual(['destroyed'])
    expect(readdirSync(at('own/recovery'))).toEqual([])
  })

  it.each([
    ['Cancel', [], 1],
    ["Don't save", ['destroyed'], 0],
    ['Save', ['told to save'], 1],
  ] as const)('at closing, “%s” does what it says', async (answer, expected, left) => {
    await shell.bridge.writeRecovery(bytes)
    await shell.bridge.setUnsaved(true, 'knee')
    shell.bridge.on('window:save-and-close', () => void shell.done.push('told to save'))
    shell.next.closing = answer
    await shell.wishToClose()
    expect(shell.done).toEqual(expected)
    expect(readdirSync(at('own/recovery'))).toHaveLength(left)
  })

  it('closes after saving when the window says so', async () => {
    await shell.bridge.setUnsaved(true, 'knee')
    shell.next.closing = 'Save'
    shell.bridge.on('window:save-and-close', () => void shell.bridge.close())
    await shell.wishToClose()
    await expect.poll(() => shell.done).toEqual(['destroyed'])
  })
})

describe('the log', () => {
  it('holds no name and no path, whatever was opened and saved', async () => {
    writeFileSync(at('a name and a birthday.stl'), 'solid')
    shell.next.paths = [at('a name and a birthday.stl'), at('gone.stl')]
    await shell.bridge.chooseFiles('meshes')
    shell.next.savePath = at('a name.floorline')
    await shell.bridge.save({ token: null, name: 'a name', kind: 'case', bytes })
    await shell.bridge.setUnsaved(true, 'a name')
    expect(shell.log).toEqual([
      { what: 'opened', bytes: 5 },
      { what: 'failed', code: 'file/unreadable' },
      { what: 'saved', bytes: 6 },
    ])
  })
})
