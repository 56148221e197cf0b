type Type = 'i1' | 'u1' | 'i2' | 'u2' | 'i4' | 'u4' | 'f4' | 'f8'

const NAMES: Readonly<Record<Type, string>> = {
  i1: 'char',
  u1: 'uint8',
  i2: 'short',
  u2: 'uint16',
  i4: 'int',
  u4: 'uint32',
  f4: 'float32',
  f8: 'double',
}

export interface PlyRows {
  readonly vertices: readonly (readonly number[])[]
  readonly faces: readonly (readonly number[])[]
  /** List lengths to write in place of the true ones. */
  readonly lengths?: readonly number[]
}

export interface PlyShape {
  readonly little: boolean
  readonly coordinate: Type
  readonly count: Type
  readonly index: Type
  readonly facesFirst?: boolean
  readonly lineBreak?: string
}

/** A binary PLY with every type chosen, written independently of the program's own writer. */
export function plyBytes(rows: PlyRows, shape: PlyShape): Uint8Array {
  const put = (type: Type, value: number): number[] => {
    const view = new DataView(new ArrayBuffer(8))
    const size = Number(type[1])
    if (type === 'f4') view.setFloat32(0, value, shape.little)
    else if (type === 'f8') view.setFloat64(0, value, shape.little)
    else if (size === 1) view.setInt8(0, value)
    else if (size === 2) view.setInt16(0, value, shape.little)
    else view.setInt32(0, value, shape.little)
    return [...new Uint8Array(view.buffer, 0, size)]
  }
  const coordinate = NAMES[shape.coordinate]
  const elements = [
    {
      head: [`element vertex ${rows.vertices.length}`, ...['x', 'y', 'z'].map((a) => `property ${coordinate} ${a}`)],
      data: rows.vertices.flatMap((v) => v.flatMap((c) => put(shape.coordinate, c))),
    },
    {
      head: [
        `element face ${rows.faces.length}`,
        `property list ${NAMES[shape.count]} ${NAMES[shape.index]} vertex_indices`,
      ],
      data: rows.faces.flatMap((f, i) => [
        ...put(shape.count, rows.lengths?.[i] ?? f.length),
        ...f.flatMap((v) => put(shape.index, v)),
      ]),
    },
  ]
  if (shape.facesFirst) elements.reverse()
  const lines = [
    'ply',
    `format binary_${shape.little ? 'little' : 'big'}_endian 1.0`,
    ...elements.flatMap((e) => e.head),
    'end_header',
    '',
  ]
  const head = new TextEncoder().encode(lines.join(shape.lineBreak ?? '\n'))
  return Uint8Array.from([...head, ...elements.flatMap((e) => e.data)])
}
