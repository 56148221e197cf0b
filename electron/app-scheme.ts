import type { Protocol, Session } from 'electron'
import { type Answer, answer } from './answer.ts'
import type { Bundle } from './bundle-path.ts'
import { securityHeaders } from './content-policy.ts'
import { scheme } from './window-options.ts'

/** Must run before the program is ready: our scheme behaves like https, so that modules, workers and fetch work. */
export function registerScheme(protocol: Protocol): void {
  protocol.registerSchemesAsPrivileged([
    { scheme, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ])
}

/**
 * Answers `app://bundle/…` from the bundle, and `app://bundle/file/TOKEN` with the bytes of a file the user chose. Any
 * other host of the scheme is not found.
 */
export function setupAppScheme(
  session: Session,
  bundle: Bundle,
  readByToken: (token: string) => Promise<Uint8Array<ArrayBuffer> | null>,
): void {
  session.protocol.handle(scheme, async (request) => {
    const reply = await respond(bundle, readByToken, request.method, request.url)
    return new Response(request.method === 'HEAD' ? null : reply.body, { status: reply.status, headers: reply.headers })
  })
}

/** One answer of the scheme, apart from Electron so that it can be tested. */
export async function respond(
  bundle: Bundle,
  readByToken: (token: string) => Promise<Uint8Array<ArrayBuffer> | null>,
  method: string,
  address: string,
): Promise<Answer> {
  const { host, pathname } = new URL(address)
  if (host !== 'bundle') return answer(bundle, method, '/not-ours')
  const token = /^\/file\/([0-9a-f]{32})$/.exec(pathname)?.[1]
  if (token === undefined || method !== 'GET') return answer(bundle, method, pathname)
  const bytes = await readByToken(token)
  if (bytes === null) return answer(bundle, method, '/not-ours')
  return {
    status: 200,
    headers: {
      ...securityHeaders('none'),
      'content-type': 'application/octet-stream',
      'content-length': String(bytes.byteLength),
      'cache-control': 'no-store',
    },
    body: bytes,
  }
}
