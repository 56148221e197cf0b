import { useThree } from '@react-three/fiber'
import { useEffect, useMemo } from 'react'
import { BufferGeometry, Float32BufferAttribute } from 'three'
import type { BoneName } from '../../anatomy/terms.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { openedBone } from '../store/bones-slice.ts'
import { type Problem, problemsOf, shownPreview } from '../store/problems-slice.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { matrixOf } from './rigid-matrix.ts'
import { Surface } from './surface.tsx'

interface ProblemMarksProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** Where the surfaces have problems: lines and points, the one pointed at strongest; what a previewed repair would add. */
export function ProblemMarks(props: ProblemMarksProps) {
  return (
    <>
      <MarksOfBone bone="femur" {...props} />
      <MarksOfBone bone="tibia" {...props} />
    </>
  )
}

function MarksOfBone({ bone, placement, colours }: ProblemMarksProps & { readonly bone: BoneName }) {
  const opened = useWorkbenchState((state) => openedBone(state, bone))
  const crossings = useWorkbenchState((state) => (opened ? state.crossings[opened.key] : undefined))
  const preview = useWorkbenchState((state) => shownPreview(state, bone))
  const pointedAt = useWorkbenchState((state) => (state.pointedAt?.bone === bone ? state.pointedAt : null))
  const hidden = useWorkbenchState((state) => state.hidden.has(bone))
  const rigid = sceneFrom(placement, bone)
  const problems = useMemo(() => (opened ? problemsOf(opened, crossings) : []), [opened, crossings])
  if (!opened || hidden) return null
  if (preview) {
    const { added } = preview.outcome
    return added ? (
      <Surface
        name={`added to ${bone}`}
        display={added}
        matrix={matrixOf(rigid, added.origin)}
        colour={colours.taken}
        cutColour={colours.taken}
        towardsEye
      />
    ) : null
  }
  return problems.map((problem) => (
    <Marks
      key={problem.id}
      problem={problem}
      matrix={matrixOf(rigid, opened.display.origin)}
      origin={opened.display.origin}
      colour={colours.taken}
      strong={pointedAt?.id === problem.id}
      place={pointedAt?.id === problem.id ? pointedAt.place : null}
    />
  ))
}

interface MarksProps {
  readonly problem: Problem
  readonly matrix: ReturnType<typeof matrixOf>
  readonly origin: Vec3
  readonly colour: string
  readonly strong: boolean
  readonly place: number | null
}

/** One problem's lines and points, drawn through the bone: most lie on its far side as often as on the near one. */
function Marks({ problem, matrix, origin, colour, strong, place }: MarksProps) {
  const invalidate = useThree((three) => three.invalidate)
  const lines = useMemo(() => segments(problem.lines, origin), [problem, origin])
  const dots = useMemo(() => dotsAt(problem.points, origin), [problem, origin])
  const chosen = useMemo(
    () => (place === null ? null : dotsAt(problem.points.slice(place, place + 1), origin)),
    [problem, origin, place],
  )
  useEffect(() => () => lines.dispose(), [lines])
  useEffect(() => () => dots.dispose(), [dots])
  useEffect(() => () => chosen?.dispose(), [chosen])
  useEffect(() => invalidate())
  const opacity = strong ? 1 : 0.6
  const seen = { color: colour, depthTest: false, transparent: true, opacity } as const
  return (
    <group matrix={matrix} matrixAutoUpdate={false} name={`problem ${problem.id}`}>
      <lineSegments geometry={lines} renderOrder={5}>
        <lineBasicMaterial {...seen} />
      </lineSegments>
      <points geometry={dots} renderOrder={6}>
        <pointsMaterial {...seen} size={strong ? 7 : 5} sizeAttenuation={false} />
      </points>
      {chosen ? (
        <points geometry={chosen} renderOrder={7}>
          <pointsMaterial {...seen} size={13} sizeAttenuation={false} />
        </points>
      ) : null}
    </group>
  )
}

function segments(lines: readonly (readonly Vec3[])[], origin: Vec3): BufferGeometry {
  const ends: number[] = []
  for (const line of lines)
    for (let k = 1; k < line.length; k++)
      for (const p of [line[k - 1]!, line[k]!]) for (let axis = 0; axis < 3; axis++) ends.push(p[axis]! - origin[axis]!)
  return new BufferGeometry().setAttribute('position', new Float32BufferAttribute(ends, 3))
}

function dotsAt(points: readonly Vec3[], origin: Vec3): BufferGeometry {
  const at = points.flatMap((p) => p.map((c, axis) => c - origin[axis]!))
  return new BufferGeometry().setAttribute('position', new Float32BufferAttribute(at, 3))
}
