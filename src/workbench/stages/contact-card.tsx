import { dot, sub } from '../../geometry/vec.ts'
import { PressureLegend, PressureMap } from '../charts/pressure-map.tsx'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

const directionWords = { vertical: 'straight down', 'tibial-axis': 'along the tibia', own: 'own direction' } as const

/** On the loading stage, over the view: pressure on the bearing for both directions, on one scale. */
export function ContactCard() {
  const stage = useWorkbenchState((state) => state.stage)
  const maps = useWorkbenchState((state) => state.maps)
  const side = useWorkbenchState((state) => state.findings?.side)
  const deep = useWorkbenchState((state) => state.depth === 'full')
  const tray = useWorkbenchState((state) => state.plan?.tray)
  const { pose } = useShownStance()
  if (stage !== 'loading' || !side) return null
  if (!deep) return <p className="contact-card">Bearing contact: {text.updating}</p>
  const shown = maps.filter((map) => map.pose === pose)
  if (shown.length === 0) return null
  const edge = tray?.outline.map((p): readonly [number, number] => {
    const d = sub(p, tray.centre)
    return [-dot(d, tray.medial), -dot(d, tray.posterior)]
  })
  const top = Math.max(
    1,
    Math.ceil(Math.max(...shown.map((map) => map.pressureMpa.reduce((a, b) => Math.max(a, b), 0)))),
  )
  return (
    <section className="contact-card" aria-label="Pressure on the bearing">
      <h2 className="section-title">Pressure on the bearing</h2>
      <div className="contact-maps">
        {shown.map((map) => (
          <PressureMap
            key={map.direction}
            map={map}
            side={side}
            topMpa={top}
            label={directionWords[map.direction]}
            edge={edge}
          />
        ))}
      </div>
      <PressureLegend topMpa={top} />
    </section>
  )
}
