import { randomBytes } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { extname } from 'node:path'
import { type Bundle, bundlePath, contentTypes } from './bundle-path.ts'
import { securityHeaders } from './content-policy.ts'

export interface Answer {
  readonly status: 200 | 404 | 405
  readonly headers: Readonly<Record<string, string>>
  readonly body: Uint8Array<ArrayBuffer>
}

/** What the build writes where a load's own nonce belongs. */
export const noncePlaceholder = 'FLOORLINE-NONCE'

/** The answer to one request for the bundle: the file with strict headers, or 404, or 405 for anything but reading. */
export async function answer(bundle: Bundle, method: string, urlPath: string): Promise<Answer> {
  const nonce = randomBytes(16).toString('base64')
  if (method !== 'GET' && method !== 'HEAD') return plain(405, 'Only reading.', nonce)
  const path = bundlePath(bundle, urlPath)
  const bytes = path === null ? null : await readFile(path).catch(() => null)
  if (path === null || bytes === null) return plain(404, 'Not found.', nonce)
  const extension = extname(path).toLowerCase()
  return {
    status: 200,
    headers: {
      ...securityHeaders(nonce),
      'content-type': contentTypes[extension]!,
      'cache-control': urlPath.startsWith('/assets/') ? 'max-age=31536000, immutable' : 'no-store',
    },
    body: extension === '.html' ? withNonce(bytes, nonce) : new Uint8Array(bytes),
  }
}

function withNonce(bytes: Uint8Array, nonce: string): Uint8Array<ArrayBuffer> {
  const text = new TextDecoder().decode(bytes).replaceAll(noncePlaceholder, nonce)
  return new Uint8Array(new TextEncoder().encode(text))
}

function plain(status: 404 | 405, text: string, nonce: string): Answer {
  return {
    status,
    headers: { ...securityHeaders(nonce), 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' },
    body: new Uint8Array(new TextEncoder().encode(text)),
  }
}
