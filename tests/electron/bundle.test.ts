import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { answer } from '../../electron/answer.ts'
import { respond } from '../../electron/app-scheme.ts'
import { bundlePath } from '../../electron/bundle-path.ts'
import { contentPolicy } from '../../electron/content-policy.ts'
import { startLoopback } from '../../electron/loopback.ts'

let folder = ''
const bundle = { windowFolder: '', demoFolder: '' }
const secret = 'patient data outside the bundle'
const page = '<link nonce="FLOORLINE-NONCE"><script nonce="FLOORLINE-NONCE" src="/assets/a.js"></script>'

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'floorline-bundle-'))
  bundle.windowFolder = join(folder, 'window')
  bundle.demoFolder = join(folder, 'demo')
  mkdirSync(join(bundle.windowFolder, 'assets'), { recursive: true })
  mkdirSync(join(bundle.demoFolder, 'ordinary'), { recursive: true })
  mkdirSync(join(folder, 'window-other'))
  writeFileSync(join(bundle.windowFolder, 'index.html'), page)
  writeFileSync(join(bundle.windowFolder, 'assets', 'a.js'), 'export {}')
  writeFileSync(join(bundle.windowFolder, 'assets', 'a.map'), '{}')
  writeFileSync(join(bundle.demoFolder, 'ordinary', 'femur.ply'), 'ply')
  writeFileSync(join(folder, 'secret.json'), secret)
  writeFileSync(join(folder, 'window-other', 'secret.json'), secret)
  symlinkSync(join(folder, 'secret.json'), join(bundle.windowFolder, 'link.json'))
  symlinkSync(folder, join(bundle.windowFolder, 'up'))
})

afterAll(() => rmSync(folder, { recursive: true }))

const wayOut = [
  '/../secret.json',
  '/%2e%2e/secret.json',
  '/%2e%2e%2fsecret.json',
  '/..%2fsecret.json',
  '/..%5csecret.json',
  '/..\\secret.json',
  '/assets/../../secret.json',
  '/assets/%2e%2e/%2e%2e/secret.json',
  '/%252e%252e/secret.json',
  '/../window-other/secret.json',
  '/demo/../../secret.json',
  '/demo/%2e%2e/secret.json',
  '//secret.json',
  '/./index.html',
  '/assets//a.js',
  '/link.json',
  '/up/secret.json',
  '/index.html%00.json',
  '/C:/secret.json',
  '/index.html:stream.json',
  '/%',
  'index.html',
  '',
]

describe('the path guard', () => {
  it.each(wayOut)('finds nothing at %s', async (path) => {
    expect(bundlePath(bundle, path)).toBeNull()
    expect((await answer(bundle, 'GET', path)).status).toBe(404)
  })

  it('hands out only listed extensions, and files only', () => {
    expect(bundlePath(bundle, '/assets/a.map')).toBeNull()
    expect(bundlePath(bundle, '/assets')).toBeNull()
    expect(bundlePath(bundle, '/missing.js')).toBeNull()
    expect(bundlePath(bundle, '/assets/a.js')).not.toBeNull()
    expect(bundlePath(bundle, '/demo/ordinary/femur.ply')).not.toBeNull()
  })

  it('never hands out the outside file, whatever path is made of dots, slashes and escapes', async () => {
    const piece = fc.constantFrom(
      '..',
      '.',
      '/',
      '\\',
      '%2e',
      '%2f',
      '%5c',
      'up',
      'demo',
      'secret.json',
      'link.json',
      '%00',
    )
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 10 }), async (pieces) => {
        const reply = await answer(bundle, 'GET', `/${pieces.join('')}`)
        expect(new TextDecoder().decode(reply.body)).not.toContain(secret)
      }),
      { seed: 7, numRuns: 500 },
    )
  })
})

describe('an answer', () => {
  it('carries the strict policy, with a nonce that is new at every load and put into the page', async () => {
    const [first, second] = await Promise.all([answer(bundle, 'GET', '/'), answer(bundle, 'GET', '/')])
    const nonce = /'nonce-([^']+)'/.exec(first.headers['content-security-policy']!)![1]!
    expect(new TextDecoder().decode(first.body)).toBe(page.replaceAll('FLOORLINE-NONCE', nonce))
    expect(second.headers['content-security-policy']).not.toBe(first.headers['content-security-policy'])
    expect(first.headers['content-security-policy']).toBe(contentPolicy(nonce))
    expect(first.headers['x-content-type-options']).toBe('nosniff')
  })

  it('allows no inline script, no evaluation and nothing from outside', () => {
    const policy = contentPolicy('n')
    expect(policy).not.toMatch(/unsafe|https?:|\*/)
    for (const directive of ["default-src 'none'", "script-src 'self'", "object-src 'none'", "base-uri 'none'"])
      expect(policy.split('; ')).toContain(directive)
    for (const directive of ["frame-src 'none'", "form-action 'none'", "connect-src 'self'", "worker-src 'self'"])
      expect(policy.split('; ')).toContain(directive)
  })

  it('refuses every method but reading', async () => {
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS'])
      expect((await answer(bundle, method, '/')).status).toBe(405)
  })
})

describe('the app scheme', () => {
  const noFile = async () => null
  const token = 'a'.repeat(32)

  it('answers for its own host only', async () => {
    expect((await respond(bundle, noFile, 'GET', 'app://bundle/')).status).toBe(200)
    expect((await respond(bundle, noFile, 'GET', 'app://elsewhere/')).status).toBe(404)
    expect((await respond(bundle, noFile, 'GET', 'app://bundle/../secret.json')).status).toBe(404)
  })

  it('gives the bytes of a chosen file for its token, and nothing for any other word', async () => {
    const read = async (asked: string) => (asked === token ? new Uint8Array([1, 2, 3]) : null)
    expect([...(await respond(bundle, read, 'GET', `app://bundle/file/${token}`)).body]).toEqual([1, 2, 3])
    for (const wrong of ['b'.repeat(32), `${token}0`, '../secret.json', '%2fetc%2fpasswd'])
      expect((await respond(bundle, read, 'GET', `app://bundle/file/${wrong}`)).status).toBe(404)
  })
})

describe('the loopback server', () => {
  it('answers its own address and refuses a request that names another host', async () => {
    const server = await startLoopback(bundle)
    try {
      expect(server.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/)
      expect(await statusOf(server.port, '/', `127.0.0.1:${server.port}`)).toBe(200)
      expect(await statusOf(server.port, '/', 'rebound.example')).toBe(405)
      expect(await statusOf(server.port, '/..%2fsecret.json', `127.0.0.1:${server.port}`)).toBe(404)
    } finally {
      await server.close()
    }
  })

  it('takes another port when the wanted one is taken', async () => {
    const first = await startLoopback(bundle)
    const second = await startLoopback(bundle, first.port)
    expect(second.port).not.toBe(first.port)
    await Promise.all([first.close(), second.close()])
  })
})

function statusOf(port: number, path: string, host: string): Promise<number | undefined> {
  return new Promise((resolve, reject) => {
    request({ host: '127.0.0.1', port, path, headers: { host } }, (response) => {
      response.resume()
      resolve(response.statusCode)
    })
      .on('error', reject)
      .end()
  })
}
