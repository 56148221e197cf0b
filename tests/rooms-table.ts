export interface RoomRule {
  /** Rooms (or single files of `src/`) this room may import from. */
  readonly rooms: readonly string[]
  /** Packages it may import; `node` stands for Node's own modules. */
  readonly packages: readonly string[]
}

/** Rooms that hold words and types only, at the top of the Node rooms. */
const base = ['failure.ts']
const upTo = {
  anatomy: [...base, 'geometry', 'formats'],
  implants: [...base, 'geometry', 'formats', 'anatomy'],
  planning: [...base, 'geometry', 'formats', 'anatomy', 'implants'],
  stance: [...base, 'geometry', 'formats', 'anatomy', 'implants', 'planning'],
  loading: [...base, 'geometry', 'formats', 'anatomy', 'implants', 'planning', 'stance'],
  findings: [...base, 'geometry', 'formats', 'anatomy', 'implants', 'planning', 'stance', 'loading'],
}
const casefile = [...upTo.findings, 'findings.ts']
const assess = [...casefile, 'casefile']
const studies = [...assess, 'assess.ts']
const nodeRooms = [...studies, 'studies']

/** The one table of allowed edges. A room may always import from itself. */
export const rooms: Readonly<Record<string, RoomRule>> = {
  'failure.ts': { rooms: [], packages: [] },
  geometry: { rooms: base, packages: ['three', 'three-mesh-bvh', 'earcut'] },
  formats: { rooms: [...base, 'geometry'], packages: [] },
  anatomy: { rooms: upTo.anatomy, packages: [] },
  implants: { rooms: upTo.implants, packages: [] },
  planning: { rooms: upTo.planning, packages: [] },
  stance: { rooms: upTo.stance, packages: [] },
  loading: { rooms: upTo.loading, packages: [] },
  'findings.ts': { rooms: upTo.findings, packages: [] },
  casefile: { rooms: casefile, packages: ['zod', 'fflate'] },
  'assess.ts': { rooms: assess, packages: [] },
  studies: { rooms: studies, packages: [] },
  report: { rooms: nodeRooms, packages: [] },
  engine: { rooms: [...nodeRooms, 'report'], packages: [] },
  host: { rooms: [...nodeRooms, 'report'], packages: [] },
  workbench: {
    rooms: [...nodeRooms, 'report', 'engine', 'host', 'assets'],
    packages: ['react', 'react-dom', 'three', 'three-mesh-bvh', '@react-three/fiber', 'zustand', 'lucide-react'],
  },
  cli: { rooms: [...nodeRooms, 'report'], packages: ['commander', '@resvg/resvg-wasm', 'node'] },
  electron: { rooms: ['failure.ts', 'casefile', 'host'], packages: ['electron', 'zod', 'node'] },
  /** Styles, typefaces, pictures and words: no code. */
  assets: { rooms: [], packages: [] },
  'demo-models': { rooms: ['failure.ts', 'geometry', 'formats'], packages: ['node'] },
  launchers: { rooms: [], packages: ['node'] },
}
