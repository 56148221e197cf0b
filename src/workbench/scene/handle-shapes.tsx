import { memo, useEffect, useMemo } from 'react'
import { CatmullRomCurve3, Matrix4, Quaternion, TubeGeometry, Vector3 } from 'three'
import { cross, type Vec3 } from '../../geometry/vec.ts'
import { vector } from './rigid-matrix.ts'

// What a handle is made of stands still in a frame of its own: a pull moves that frame and nothing else.

interface ArrowProps {
  readonly at: Vec3
  readonly along: Vec3
  readonly colour: string
}

/** An arrow with two heads, along which a number grows. */
export function Arrow({ at, along, colour }: ArrowProps) {
  return (
    <group position={at as [number, number, number]} quaternion={pointing(vector(along))}>
      <ArrowBody colour={colour} />
    </group>
  )
}

const up = new Vector3(0, 1, 0)
const pointing = (direction: Vector3) => new Quaternion().setFromUnitVectors(up, direction)

const ArrowBody = memo(function ArrowBody({ colour }: { readonly colour: string }) {
  return (
    <>
      <mesh renderOrder={6}>
        <cylinderGeometry args={[0.8, 0.8, 34, 12]} />
        <meshBasicMaterial color={colour} depthTest={false} transparent />
      </mesh>
      {[1, -1].map((end) => (
        <mesh key={end} position={[0, end * 20, 0]} rotation={[end > 0 ? 0 : Math.PI, 0, 0]} renderOrder={6}>
          <coneGeometry args={[3, 9, 20]} />
          <meshBasicMaterial color={colour} depthTest={false} transparent />
        </mesh>
      ))}
      <Grip length={52} />
    </>
  )
})

interface ArcProps {
  readonly centre: Vec3
  /** Unit, square to each other: to the middle of the arc, and the way the angle grows there. */
  readonly arm: Vec3
  readonly grows: Vec3
  readonly reachMm: number
  readonly colour: string
}

/** An arc with two heads about a centre. */
export function Arc({ centre, arm, grows, reachMm, colour }: ArcProps) {
  const basis = new Matrix4().makeBasis(vector(arm), vector(grows), vector(cross(arm, grows)))
  return (
    <group position={centre as [number, number, number]} quaternion={new Quaternion().setFromRotationMatrix(basis)}>
      <ArcBody reachMm={reachMm} colour={colour} />
    </group>
  )
}

const arcDeg = 15
const onArc = (reachMm: number, deg: number): [number, number, number] => {
  const a = (deg * Math.PI) / 180
  return [reachMm * Math.cos(a), reachMm * Math.sin(a), 0]
}

/** About the origin, x along the arm, y the way the angle grows. */
const ArcBody = memo(function ArcBody({ reachMm, colour }: Pick<ArcProps, 'reachMm' | 'colour'>) {
  const tube = useMemo(() => arcTube(reachMm), [reachMm])
  useEffect(() => () => tube.dispose(), [tube])
  return (
    <>
      <mesh geometry={tube} renderOrder={6}>
        <meshBasicMaterial color={colour} depthTest={false} transparent />
      </mesh>
      {heads.map(({ end, quaternion }) => (
        <mesh key={end} position={onArc(reachMm, end * (arcDeg + 4))} quaternion={quaternion} renderOrder={6}>
          <coneGeometry args={[2.6, 8, 20]} />
          <meshBasicMaterial color={colour} depthTest={false} transparent />
        </mesh>
      ))}
      <group position={[reachMm, 0, 0]}>
        <Grip length={46} />
      </group>
    </>
  )
})

/** Along the tangent at either end of the arc. */
const heads = [1, -1].map((end) => {
  const [x, y] = onArc(1, end * arcDeg)
  return { end, quaternion: pointing(new Vector3(-y * end, x * end, 0)) }
})

const arcTube = (reachMm: number): TubeGeometry => {
  const points = Array.from({ length: 13 }, (_, k) => new Vector3(...onArc(reachMm, -arcDeg + (2 * arcDeg * k) / 12)))
  return new TubeGeometry(new CatmullRomCurve3(points), 24, 0.8, 8)
}

/** What the pointer takes hold of: wider than what is seen. */
const Grip = ({ length }: { readonly length: number }) => (
  <mesh>
    <cylinderGeometry args={[6, 6, length, 8]} />
    <meshBasicMaterial transparent opacity={0} depthWrite={false} colorWrite={false} />
  </mesh>
)
