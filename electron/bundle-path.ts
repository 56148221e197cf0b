import { realpathSync } from 'node:fs'
import { extname, resolve, sep } from 'node:path'

/** What the bundle may hand out, with the type it is declared as. Any other extension is not found. */
export const contentTypes: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.jpg': 'image/jpeg',
  '.webp': 'image/webp',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.ply': 'application/octet-stream',
  '.stl': 'application/octet-stream',
  '.floorline': 'application/octet-stream',
  '.txt': 'text/plain; charset=utf-8',
}

/** Where the bundle's parts lie: `/demo/…` is answered from `demo`, everything else from `window`. */
export interface Bundle {
  readonly windowFolder: string
  readonly demoFolder: string
}

/**
 * The file a URL's path stands for, or null when it leaves the bundle, is of a type that is not handed out, or does not
 * exist. Decodes once, refuses dot segments, back slashes and control characters, and follows links before the last
 * look, so that a link inside the bundle cannot point out of it.
 */
export function bundlePath(bundle: Bundle, urlPath: string): string | null {
  const decoded = decodeOnce(urlPath)
  if (decoded === null || !decoded.startsWith('/') || hasControlOrBackSlash(decoded)) return null
  const parts = decoded === '/' ? ['index.html'] : decoded.slice(1).split('/')
  if (parts.some((part) => part === '' || part === '.' || part === '..' || part.includes(':'))) return null
  if (!(extname(parts.at(-1)!).toLowerCase() in contentTypes)) return null
  return parts[0] === 'demo' ? inside(bundle.demoFolder, parts.slice(1)) : inside(bundle.windowFolder, parts)
}

function inside(folder: string, parts: readonly string[]): string | null {
  try {
    const home = realpathSync(folder)
    const path = realpathSync(resolve(home, ...parts))
    return path.startsWith(home + sep) ? path : null
  } catch {
    return null
  }
}

function decodeOnce(text: string): string | null {
  try {
    return decodeURIComponent(text)
  } catch {
    return null
  }
}

function hasControlOrBackSlash(text: string): boolean {
  return [...text].some((letter) => letter === '\\' || letter < ' ' || letter === '\u007f')
}
