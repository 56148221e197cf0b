import { useState } from 'react'
import { dot, sub } from '../../geometry/vec.ts'
import type { LoadMap } from '../../loading/loads.ts'
import { scaleTopMpa } from '../../loading/pressure-peaks.ts'
import { boneStrengthMpa } from '../../report/beside-loads.ts'
import { PressureLegend, PressureMap } from '../charts/pressure-map.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { text } from '../text/messages.ts'
import { loadDirectionWords as directionWords, sceneText } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const whereWords = { bearing: 'On the bearing', tray: 'Under the tray' } as const

/** On the loading stage, over the view: pressure on the bearing or under the tray for every direction, on one scale. */
export function ContactCard() {
  const stage = useWorkbenchState((state) => state.stage)
  const maps = useWorkbenchState((state) => state.maps)
  const deep = useWorkbenchState((state) => state.depth === 'full')
  const [where, setWhere] = useState<LoadMap['where']>('bearing')
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  if (stage !== 'loading') return null
  if (!deep) return <p className="contact-card">Pressures: {text.updating}</p>
  if (!maps.some((map) => map.pose === pose)) return null
  return (
    <section
      className="contact-card"
      aria-label={where === 'bearing' ? 'Pressure on the bearing' : 'Pressure under the tray'}
    >
      <Segmented
        label="Pressure"
        options={(['bearing', 'tray'] as const).map((value) => ({ value, label: whereWords[value] }))}
        value={where}
        onChange={setWhere}
      />
      <Maps maps={maps.filter((map) => map.pose === pose && map.where === where)} where={where} />
      {where === 'bearing' ? <InTheView maps={maps.filter((map) => map.pose === pose && map.where === where)} /> : null}
    </section>
  )
}

/** Paints one load's pressures on the insert in the view, seen from above through the femur. */
function InTheView({ maps }: { readonly maps: readonly LoadMap[] }) {
  const { store } = useWorkbench()
  const painted = useWorkbenchState((state) => state.pressurePainted)
  if (maps.length === 0) return null
  const none = 'none'
  return (
    <Segmented
      label={sceneText.onTheInsert}
      options={[
        { value: none, label: sceneText.nothing },
        ...maps.map(({ direction }) => ({ value: direction, label: directionWords[direction] })),
      ]}
      value={painted ?? none}
      onChange={(value) => {
        const { paintPressure, moveCamera } = store.getState()
        paintPressure(value === none ? null : value)
        if (value !== none && painted === null) moveCamera({ kind: 'fit', what: 'knee', preset: 'proximal' })
      }}
    />
  )
}

function Maps({ maps, where }: { readonly maps: readonly LoadMap[]; readonly where: LoadMap['where'] }) {
  const side = useWorkbenchState((state) => state.findings?.side)
  const loading = useWorkbenchState((state) => state.findings?.loading)
  const tray = useWorkbenchState((state) => state.plan?.tray)
  if (!side) return null
  if (maps.length === 0) return <p>Withheld; the warnings say why.</p>
  const edge = tray?.outline.map((p): readonly [number, number] => {
    const d = sub(p, tray.centre)
    return [-dot(d, tray.medial), -dot(d, tray.posterior)]
  })
  const top = scaleTopMpa(maps)
  const meetsAt = ({ pose, direction }: LoadMap) =>
    where === 'tray'
      ? loading?.find((load) => load.pose === pose && load.direction === direction)?.interface?.atMm
      : undefined
  return (
    <>
      <div className="contact-maps">
        {maps.map((map) => (
          <PressureMap
            key={map.direction}
            map={map}
            side={side}
            topMpa={top}
            label={directionWords[map.direction]}
            edge={edge}
            meetsAt={meetsAt(map)}
          />
        ))}
      </div>
      <PressureLegend topMpa={top} bandMpa={where === 'tray' ? boneStrengthMpa.typical : null} />
      {where === 'tray' ? (
        <p className="footnote">
          On the bone that tray and cut face share; grey: lifted off. Keel and pegs are left out. Bone gives way at
          about {boneStrengthMpa.lowest}–{boneStrengthMpa.highest} MPa, mostly {boneStrengthMpa.typical.join('–')} (from
          memory), and varies up to 100 times from place to place: a reference, no verdict.
        </p>
      ) : null}
    </>
  )
}
