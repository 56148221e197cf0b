import type { Findings } from '../../findings.ts'
import type { WorkbenchState } from '../store/state.ts'
import { type StageName, stageLabels, stageNames } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The six stages, always reachable. */
export function StageTabs() {
  const { store } = useWorkbench()
  const stage = useWorkbenchState((state) => state.stage)
  return (
    <nav className="stage-tabs" aria-label="Stages">
      {stageNames.map((name) => (
        <button
          key={name}
          type="button"
          className="stage-tab eases"
          aria-current={name === stage ? 'step' : undefined}
          onClick={() => store.getState().showStage(name)}
        >
          {stageLabels[name]}
          <StageCount stage={name} />
        </button>
      ))}
    </nav>
  )
}

function StageCount({ stage }: { readonly stage: StageName }) {
  const badge = useWorkbenchState((state) => badgeOf(stage, state))
  if (!badge) return null
  return (
    <span className="badge" data-tone={badge.endsWith('caution') || badge.endsWith('cautions') ? 'caution' : undefined}>
      {badge}
    </span>
  )
}

function badgeOf(stage: StageName, state: WorkbenchState): string | null {
  const { femur, tibia } = state.history.present.meshes
  if (stage === 'bones') return femur || tibia ? String(Number(femur !== null) + Number(tibia !== null)) : null
  if (stage === 'landmarks') {
    const found =
      Object.keys(state.femurAnatomy?.landmarks ?? {}).length + Object.keys(state.tibiaAnatomy?.landmarks ?? {}).length
    return found > 0 ? String(found) : null
  }
  if (stage === 'cuts') return state.findings ? cautions(state.findings) : state.failure ? '1 caution' : null
  return null
}

function cautions(findings: Findings): string | null {
  const count =
    findings.sites.filter((site) => !site.within).length + findings.limits.filter((l) => l.status !== 'inside').length
  return count > 0 ? `${count} caution${count > 1 ? 's' : ''}` : String(findings.cuts.filter((cut) => cut.point).length)
}
