import { useEffect, useState } from 'react'
import { sideFactor } from '../../anatomy/terms.ts'
import type { Failure } from '../../failure.ts'
import type { CutSection, Farthest } from '../../planning/cut-section.ts'
import type { CutId } from '../../planning/terms.ts'
import type { WorkbenchState } from '../store/state.ts'
import { formatQuantity } from '../text/format.ts'
import { cutLabels, text } from '../text/messages.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Beside the view on the cuts stage: the face of the active cut seen square on, with the component laid on it. */
export function SectionCard() {
  const shown = useWorkbenchState(sectionStands)
  return shown ? <OpenCard /> : null
}

/** Whether it is asked for and there is a face to show. */
export const sectionStands = ({ sectionShown, stage, plan }: WorkbenchState): boolean =>
  sectionShown && stage === 'cuts' && plan !== null

function OpenCard() {
  const cut = useWorkbenchState((state) => state.activeCut)
  const { section, failure } = useSection(cut)
  const coverage = useWorkbenchState((state) => state.findings?.coverage ?? null)
  const meanwhile = useWorkbenchState((state) => state.updating)
  return (
    <section className="section-card" aria-label={sceneText.section(cutLabels[cut])}>
      <h2 className="section-title">{cutLabels[cut]}</h2>
      {failure ? <p>{failure.message}</p> : null}
      {section ? (
        <>
          <Picture section={section} />
          <dl className="pairs">
            <Pair name={sceneText.sectionArea} value={formatQuantity(section.areaMm2, 'mm2')} />
            {cut === 'tibia' && coverage ? (
              <Pair name={sceneText.trayCover} value={formatQuantity(coverage.fraction, 'percent')} />
            ) : null}
            <Pair
              name={sceneText.overhang}
              mark="overhang"
              value={section.overhang ? formatQuantity(section.overhang.mm, 'mm') : sceneText.none}
            />
            <Pair
              name={sceneText.gap}
              mark="gap"
              value={section.gap ? formatQuantity(section.gap.mm, 'mm') : sceneText.none}
            />
          </dl>
          {meanwhile ? <p>{text.updating}</p> : null}
        </>
      ) : failure ? null : (
        <p>{text.working}</p>
      )}
    </section>
  )
}

interface PairProps {
  readonly name: string
  readonly value: string
  readonly mark?: 'overhang' | 'gap'
}

const Pair = ({ name, value, mark }: PairProps) => (
  <div className="pair">
    <dt>
      {mark ? <i className={`mark-swatch ${mark}`} /> : null}
      {name}
    </dt>
    <dd>{value}</dd>
  </div>
)

/** The face of the plan as it stands; the newest wish counts, so that it follows a pull. */
function useSection(cut: CutId): { section: CutSection | null; failure: Failure | null } {
  const { store, drawer } = useWorkbench()
  const plan = useWorkbenchState((state) => state.plan)
  const [answer, setAnswer] = useState<{ section: CutSection | null; failure: Failure | null }>({
    section: null,
    failure: null,
  })
  useEffect(() => {
    if (!plan) return
    let wanted = true
    const { femurAnatomy, tibiaAnatomy, history } = store.getState()
    const bone = plan.cuts.find(({ id }) => id === cut)?.bone
    const frame = (bone === 'tibia' ? tibiaAnatomy : femurAnatomy)?.frame
    if (!frame) return
    const upright = cut !== 'tibia' && cut !== 'femur-distal'
    const right = cut === 'tibia-vertical' ? frame.x : frame.z
    const input = { meshes: history.present.meshes, plan, cut, right, up: upright ? frame.y : frame.x }
    void drawer.run('cut-section', input, { latest: 'cut-section' }).then((result) => {
      if (!wanted || (!result.ok && result.failure.code === 'job/cancelled')) return
      setAnswer(result.ok ? { section: result.value, failure: null } : { section: null, failure: result.failure })
    })
    return () => {
      wanted = false
    }
  }, [plan, cut, store, drawer])
  return answer.section && answer.section.cut !== cut ? { section: null, failure: null } : answer
}

const marginMm = 8

function Picture({ section }: { readonly section: CutSection }) {
  const side = useWorkbenchState((state) => state.findings?.side ?? 'right')
  const all = [...section.bone, ...section.component].flat()
  const [xs, ys] = [all.map((p) => p[0]), all.map((p) => p[1])]
  const [x0, x1] = [Math.min(...xs) - marginMm, Math.max(...xs) + marginMm]
  const [y0, y1] = [Math.min(...ys) - marginMm, Math.max(...ys) + marginMm]
  const upright = section.cut !== 'tibia' && section.cut !== 'femur-distal'
  const [left, right] =
    section.cut === 'tibia-vertical'
      ? ['posterior', 'anterior']
      : sideFactor(side) > 0
        ? ['medial', 'lateral']
        : ['lateral', 'medial']
  return (
    <div className="section-frame">
      <svg
        viewBox={`${x0} ${-y1} ${x1 - x0} ${y1 - y0}`}
        role="img"
        aria-label={sceneText.sectionPicture(formatQuantity(section.areaMm2, 'mm2'))}
      >
        <path className="section-bone" d={pathOf(section.bone)} fillRule="evenodd" />
        <path className="section-component" d={pathOf(section.component)} fillRule="evenodd" />
        <Mark at={section.overhang} className="section-overhang" />
        <Mark at={section.gap} className="section-gap" />
      </svg>
      <span className="map-side left">{left}</span>
      <span className="map-side right">{right}</span>
      <span className="map-side top">{upright ? 'proximal' : 'anterior'}</span>
    </div>
  )
}

const pathOf = (outlines: CutSection['bone']): string =>
  outlines.map((outline) => `M${outline.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`).join('L')}Z`).join('')

const Mark = ({ at, className }: { readonly at: Farthest | null; readonly className: string }) =>
  at ? <circle className={className} cx={at.at[0]} cy={-at.at[1]} r="1.6" /> : null
