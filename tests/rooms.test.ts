import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join, relative, resolve, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { type RoomRule, rooms } from './rooms-table.ts'

const root = fileURLToPath(new URL('../', import.meta.url))
const watched = ['src', 'electron', 'demo-models']
const bannedNames = /^(utils?|helpers?|misc|common|stuff)$/i
const longestFile = 500

interface SourceFile {
  readonly path: string
  readonly room: string
  readonly code: string
  readonly lines: number
}

interface Edge {
  readonly from: SourceFile
  readonly specifier: string
  readonly line: number
}

const files = watched.flatMap((folder) => sourceFiles(folder))
const edges = files.flatMap(importEdges)

describe('the rooms', () => {
  it('every source file lies in a room of the table', () => {
    expect(files.filter((file) => !rooms[file.room]).map((file) => file.path)).toEqual([])
    expect(files.length).toBeGreaterThan(10)
  })

  it('a file imports only from the rooms its row allows, type imports included', () => {
    const wrong = edges.filter(isRelative).flatMap((edge) => {
      const target = roomOf(targetOf(edge))
      if (target === edge.from.room || ruleOf(edge).rooms.includes(target)) return []
      return [`${describeEdge(edge)} (${edge.from.room} may not use ${target})`]
    })
    expect(wrong).toEqual([])
  })

  it('a file imports only the packages its row allows', () => {
    const wrong = edges
      .filter((edge) => !isRelative(edge))
      .filter((edge) => !ruleOf(edge).packages.includes(packageOf(edge.specifier)))
      .map(describeEdge)
    expect(wrong).toEqual([])
  })

  it('relative imports name an existing file with its extension', () => {
    const wrong = edges
      .filter(isRelative)
      .filter((edge) => !existsSync(join(root, targetOf(edge))) || !/\.[a-z]+$/.test(edge.specifier.split('?')[0]!))
    expect(wrong.map(describeEdge)).toEqual([])
  })

  it('no two rooms import each other, directly or in a ring', () => {
    const graph = new Map<string, Set<string>>()
    for (const edge of edges.filter(isRelative)) {
      const target = roomOf(targetOf(edge))
      if (target === edge.from.room) continue
      graph.set(edge.from.room, (graph.get(edge.from.room) ?? new Set()).add(target))
    }
    expect(firstRing(graph)).toEqual([])
  })
})

describe('the code', () => {
  it(`no file is longer than ${longestFile} lines`, () => {
    expect(files.filter((file) => file.lines > longestFile).map((file) => `${file.path}: ${file.lines}`)).toEqual([])
  })

  it('no file is a drawer for leftovers', () => {
    const parts = files.filter((file) => file.path.split('/').some((part) => bannedNames.test(part.split('.')[0]!)))
    expect(parts.map((file) => file.path)).toEqual([])
  })

  it('no type is switched off', () => {
    const offences = files.flatMap((file) =>
      matches(file, /(?::|<|\bas|\bextends|,|\|)\s*any\b(?!\s*:|\[\w)|\bany\[\]|@ts-(?:ignore|nocheck|expect-error)/g),
    )
    expect(offences).toEqual([])
  })

  it('no file names a folder of the machine it was written on', () => {
    expect(files.flatMap((file) => matches(file, /\/work\/|\/home\/\w|\/Users\/\w|[A-Z]:\\\\/g))).toEqual([])
  })
})

describe('the test that walks the import lines', () => {
  const sample: SourceFile = {
    path: 'src/geometry/sample.ts',
    room: 'geometry',
    lines: 0,
    code: [
      "import { a } from './a.ts'",
      "import type {\n  B,\n  C,\n} from '../anatomy/terms.ts'",
      "export * from './d.ts'",
      "import 'side-effect'",
      "const lazy = () => import('./lazy.ts')",
      "new Worker(new URL('../engine/worker.ts', import.meta.url), { type: 'module' })",
      "type T = import('./t.ts').T",
      "const words = 'made from nothing'",
    ].join('\n'),
  }

  it('finds static, type, re-exported, lazy and worker imports with their lines', () => {
    expect(importEdges(sample).map(({ specifier, line }) => [specifier, line])).toEqual([
      ['./a.ts', 1],
      ['../anatomy/terms.ts', 2],
      ['./d.ts', 6],
      ['side-effect', 7],
      ['./lazy.ts', 8],
      ['../engine/worker.ts', 9],
      ['./t.ts', 10],
    ])
  })

  it('finds a ring of three', () => {
    const graph = new Map([
      ['a', new Set(['b'])],
      ['b', new Set(['c'])],
      ['c', new Set(['a'])],
    ])
    expect(firstRing(graph)).toEqual(['a', 'b', 'c', 'a'])
  })
})

function sourceFiles(folder: string): SourceFile[] {
  if (!existsSync(join(root, folder))) return []
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.(ts|tsx|mjs)$/.test(entry.name))
    .map((entry) => {
      const path = relative(root, join(entry.parentPath, entry.name)).split(sep).join('/')
      const code = readFileSync(join(root, path), 'utf8')
      return { path, room: roomOf(path), code, lines: code.trimEnd().split('\n').length }
    })
}

/** The launchers are plain scripts that run before anything is built: a room of their own. */
function roomOf(path: string): string {
  if (path.endsWith('.mjs')) return 'launchers'
  const parts = path.split('/')
  if (parts[0] !== 'src') return parts[0]!
  return parts.length === 2 ? basename(path) : parts[1]!
}

function importEdges(from: SourceFile): Edge[] {
  const pattern =
    /^[ \t]*(?:import|export)\s[^'";]*?\bfrom\s*['"]([^'"]+)['"]|^[ \t]*import\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]|new URL\(\s*['"](\.[^'"]+\.(?:ts|tsx|mjs|js))['"]/gm
  return [...from.code.matchAll(pattern)].map((match) => ({
    from,
    specifier: (match[1] ?? match[2] ?? match[3] ?? match[4])!,
    line: from.code.slice(0, match.index + match[0].search(/\S/)).split('\n').length,
  }))
}

function isRelative(edge: Edge): boolean {
  return edge.specifier.startsWith('.')
}

function targetOf(edge: Edge): string {
  const path = resolve(root, dirname(edge.from.path), edge.specifier.split('?')[0]!)
  return relative(root, path).split(sep).join('/')
}

function ruleOf(edge: Edge): RoomRule {
  return rooms[edge.from.room] ?? { rooms: [], packages: [] }
}

function packageOf(specifier: string): string {
  if (specifier.startsWith('node:')) return 'node'
  return specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/')
}

function describeEdge(edge: Edge): string {
  return `${edge.from.path}:${edge.line} → ${edge.specifier}`
}

function matches(file: SourceFile, pattern: RegExp): string[] {
  return [...file.code.matchAll(pattern)]
    .filter((match) => !isInComment(file.code, match.index) || match[0].startsWith('@ts'))
    .map((match) => `${file.path}:${file.code.slice(0, match.index).split('\n').length} ${match[0]}`)
}

function isInComment(code: string, index: number): boolean {
  const line = code.slice(code.lastIndexOf('\n', index) + 1, index)
  return line.includes('//') || line.trimStart().startsWith('*') || line.trimStart().startsWith('/*')
}

function firstRing(graph: ReadonlyMap<string, ReadonlySet<string>>): string[] {
  const done = new Set<string>()
  const visit = (room: string, way: readonly string[]): string[] => {
    if (way.includes(room)) return [...way.slice(way.indexOf(room)), room]
    if (done.has(room)) return []
    for (const next of graph.get(room) ?? []) {
      const ring = visit(next, [...way, room])
      if (ring.length > 0) return ring
    }
    done.add(room)
    return []
  }
  for (const room of graph.keys()) {
    const ring = visit(room, [])
    if (ring.length > 0) return ring
  }
  return []
}
