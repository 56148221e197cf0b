import { useThree } from '@react-three/fiber'
import { useEffect, useLayoutEffect, useMemo, useRef } from 'react'
import { BufferAttribute, BufferGeometry, type Matrix4, type Mesh, Sphere, Vector3 } from 'three'
import type { DisplayMesh } from '../../engine/display-mesh.ts'
import { useEasedMatrix } from './eased.ts'

interface SurfaceProps {
  readonly display: DisplayMesh
  readonly matrix: Matrix4
  readonly colour: string
  readonly cutColour: string
  /** 1 is solid. */
  readonly opacity?: number
  readonly metal?: boolean
  readonly visible?: boolean
  /** Drawn in front of what lies in the same place. */
  readonly towardsEye?: boolean
  /** Not what “fit” looks for. */
  readonly aside?: boolean
  /** Linear red, green, blue of every corner, over both colours. */
  readonly painted?: Float32Array | null
  readonly name: string
}

/** A mesh of the engine as drawn; its buffers live as long as it is the one shown. */
export function Surface(props: SurfaceProps) {
  const { display, matrix, opacity = 1 } = props
  const geometry = useMemo(() => geometryOf(display), [display])
  const painted = props.painted ?? null
  useLayoutEffect(() => {
    if (painted) geometry.setAttribute('color', new BufferAttribute(painted, 3))
    else geometry.deleteAttribute('color')
  }, [geometry, painted])
  const mesh = useRef<Mesh>(null)
  useEasedMatrix(mesh, matrix, display)
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => () => geometry.dispose(), [geometry])
  useEffect(() => invalidate())
  const see = opacity < 1
  const kind = `${see} ${painted !== null}`
  const shared = {
    transparent: see,
    opacity,
    depthWrite: !see,
    vertexColors: painted !== null,
    roughness: props.metal ? 0.28 : 0.82,
    metalness: props.metal ? 0.1 : 0,
    polygonOffset: props.towardsEye ?? false,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -4,
  }
  return (
    <mesh
      ref={mesh}
      name={props.name}
      geometry={geometry}
      matrixAutoUpdate={false}
      visible={props.visible ?? true}
      renderOrder={see ? 2 : 0}
      userData-bone={!(props.aside ?? false)}
    >
      {/* A material is compiled solid or see-through, painted or plain: the other way takes another one. */}
      <meshStandardMaterial
        key={`surface ${kind}`}
        attach="material-0"
        color={painted ? white : props.colour}
        {...shared}
      />
      <meshStandardMaterial
        key={`cut ${kind}`}
        attach="material-1"
        color={painted ? white : props.cutColour}
        {...shared}
      />
    </mesh>
  )
}

const white = '#ffffff'

function geometryOf(display: DisplayMesh): BufferGeometry {
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(display.positions, 3))
  geometry.setAttribute('normal', new BufferAttribute(display.normals, 3))
  // Counted where the mesh was made: three would walk every corner again on the window's thread.
  geometry.boundingSphere = new Sphere(new Vector3(), display.radiusMm)
  const corners = display.positions.length / 3
  geometry.addGroup(0, display.cutFromCorner, 0)
  if (display.cutFromCorner < corners) geometry.addGroup(display.cutFromCorner, corners - display.cutFromCorner, 1)
  return geometry
}
