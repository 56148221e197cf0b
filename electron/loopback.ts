import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { answer } from './answer.ts'
import type { Bundle } from './bundle-path.ts'

export interface Loopback {
  readonly address: string
  readonly port: number
  close(): Promise<void>
}

/**
 * Serves the bundle on the loopback interface only, with the headers the desktop program uses. A request whose Host is
 * not this very address is refused, so that no page elsewhere can reach in by renaming its own host. Port 0 takes any;
 * a port that is taken falls back to any.
 */
export async function startLoopback(bundle: Bundle, port = 0): Promise<Loopback> {
  const server = createServer((request, response) => {
    const own = (server.address() as AddressInfo | null)?.port
    const url = request.url ?? '/'
    const hostIsOurs = request.headers.host === `127.0.0.1:${own}` || request.headers.host === `localhost:${own}`
    void answer(bundle, hostIsOurs ? (request.method ?? 'GET') : 'REFUSED', url.split('?')[0]!).then((reply) => {
      response.writeHead(reply.status, { ...reply.headers, 'content-length': reply.body.byteLength })
      response.end(request.method === 'HEAD' ? undefined : reply.body)
    })
  })
  await listen(server, port).catch(() => listen(server, 0))
  const actual = (server.address() as AddressInfo).port
  return {
    address: `http://127.0.0.1:${actual}/`,
    port: actual,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, '127.0.0.1', () => {
      server.removeListener('error', reject)
      resolve()
    })
  })
}
