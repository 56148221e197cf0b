import { BarDrawing } from './bar-drawing.tsx'
import { BigFigure } from './big-figure.tsx'
import { LegsDrawing } from './legs-drawing.tsx'

/** The signature: legs on the floor, the tray as a level, its tilt in large figures. In sight on every stage. */
export function FloorStrip() {
  return (
    <section className="floor-strip" aria-label="Floor strip">
      <LegsDrawing />
      <div className="strip-level">
        <BigFigure />
        <BarDrawing />
      </div>
    </section>
  )
}
