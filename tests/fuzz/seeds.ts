import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { writePly } from '../../src/formats/write-ply.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { box, icosphere } from '../fixtures/shapes.ts'
import { plyBytes } from '../formats/ply-bytes.ts'
import { sharedPath } from '../shared.ts'

const text = (s: string) => new TextEncoder().encode(s)

const ASCII_STL = `solid one
facet normal 0 0 1
 outer loop
  vertex 0 0 0
  vertex 1 0 0
  vertex 0 1.5e0 0
 endloop
endfacet
endsolid one
`

const RICH_PLY = `ply
format ascii 1.0
comment made by hand
element face 2
property list uchar int vertex_indices
property list uchar float texcoord
property uchar red
element edge 1
property int vertex1
property int vertex2
element vertex 4
property float x
property double y
property short z
property list int float weights
element tristrips 1
property list int int vertex_indices
end_header
3 0 1 2 2 0.5 0.5 255
4 0 1 2 3 0 7
0 1
0 0 0 0
1 0 0 2 0.5 0.25
1 1 0 1 3
0 1 -5 0
6 0 1 2 -1 3 2
`

/** Small valid and odd files to mutate: our own, and those of the shared corpus under 16 kB. */
export function fuzzSeeds(): Uint8Array[] {
  const cube = box([0, 0, 0], [10, 20, 30])
  const sphere = icosphere(5, 1)
  const rows = {
    vertices: [
      [0, 0, 0],
      [1, 0, 0],
      [0, 1, 0],
      [1, 1, 0],
      [2, 2, 2],
    ],
    faces: [[0, 1, 2], [1, 3, 2], [0, 1, 3, 2], [0, 1, 2, 3, 4], [], [0, 1]],
  }
  return [
    writeStl(cube),
    writeStl(sphere),
    writePly(cube, { precision: 'double', comments: ['a cube'] }),
    writePly(sphere, { precision: 'float' }),
    plyBytes(rows, { little: false, coordinate: 'f8', count: 'u1', index: 'u2' }),
    plyBytes(rows, { little: true, coordinate: 'i2', count: 'f4', index: 'f8', facesFirst: true, lineBreak: '\r\n' }),
    plyBytes(rows, { little: true, coordinate: 'f4', count: 'u4', index: 'i4', lineBreak: '\r' }),
    text(ASCII_STL),
    text(ASCII_STL + ASCII_STL.toUpperCase()),
    text(RICH_PLY),
    text(RICH_PLY.replaceAll('\n', '\r\n')),
    ...corpusFiles(sharedPath('mesh-corpus')),
  ]
}

function corpusFiles(folder: string): Uint8Array[] {
  return readdirSync(folder)
    .sort()
    .flatMap((name) => {
      const path = join(folder, name)
      const about = statSync(path)
      if (about.isDirectory()) return corpusFiles(path)
      return /\.(stl|ply)$/i.test(name) && about.size < 16384 ? [new Uint8Array(readFileSync(path))] : []
    })
}
