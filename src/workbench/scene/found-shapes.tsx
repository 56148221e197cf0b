import { useThree } from '@react-three/fiber'
import { Fragment, useEffect, useMemo } from 'react'
import { type DrawnShape, drawnShapes } from '../../anatomy/drawn-shapes.ts'
import { mapPoint, type Rigid } from '../../geometry/rigid.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { shapeNames } from '../text/scene-words.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { Line } from './line.tsx'
import { type Placement, sceneFrom } from './placement.ts'
import { useTag } from './use-tag.ts'

interface FoundShapesProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** Fits and lines found on the bones: those chosen in the list, and the one pointed at there, by name. */
export function FoundShapes({ placement, colours }: FoundShapesProps) {
  const here = useWorkbenchState((state) => state.stage === 'landmarks' && !state.hidden.has('landmarks'))
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const chosen = useWorkbenchState((state) => state.shapesShown)
  // Under another tool they would only be in the way of what the hand fits.
  const inTheWay = useWorkbenchState((state) => state.handTool !== 'landmark')
  const pointedAt = useWorkbenchState((state) => state.shapePointedAt)
  const shapes = useMemo(() => (here ? drawnShapes(femur, tibia) : []), [here, femur, tibia])
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => invalidate())
  return shapes
    .filter(({ id }) => (chosen.has(id) && !inTheWay) || pointedAt === id)
    .map((shape) => (
      <Shape
        key={shape.id}
        shape={shape}
        rigid={sceneFrom(placement, shape.bone)}
        colours={colours}
        pointedAt={pointedAt === shape.id}
      />
    ))
}

interface ShapeProps {
  readonly shape: DrawnShape
  readonly rigid: Rigid
  readonly colours: SceneColours
  readonly pointedAt: boolean
}

function Shape({ shape, rigid, colours, pointedAt }: ShapeProps) {
  const inScene = (points: readonly Vec3[]) => points.map((p) => mapPoint(rigid, p))
  const look = {
    colour: pointedAt ? colours.taken : colours.steel,
    halo: colours.paper,
    width: pointedAt ? 2 : 1.25,
    behind: pointedAt ? 1 : 0.25,
  }
  return (
    <>
      {shape.lines.map((points, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a shape's lines never change places
        <Fragment key={k}>
          <Line points={inScene(points)} {...look} />
        </Fragment>
      ))}
      {shape.dashed.map((points, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a shape's lines never change places
        <Fragment key={k}>
          <Line points={inScene(points)} dashed {...look} />
        </Fragment>
      ))}
      {pointedAt ? <ShapeTag words={shapeNames[shape.id]} at={mapPoint(rigid, shape.at)} /> : null}
    </>
  )
}

function ShapeTag({ words, at }: { readonly words: string; readonly at: Vec3 }) {
  useTag('shape', () => words, at, [0, at[1], 0], always)
  return null
}

const always = () => true
