import type { Gaps, Site } from './planned.ts'
import type { SiteId } from './terms.ts'

/**
 * Geometric gaps: per side total(tibia) + total(femur distal) in extension, + total(femur posterior) in flexion; the native
 * surfaces just touch, there is no ligament and no laxity. Slack is the gap less the components in it, each where it stands:
 * `seated` are the sites under the components' own faces, where a cut departs from them. Null unless all six sites are there.
 */
export function geometricGaps(sites: readonly Site[], seated: readonly Site[] = sites): Gaps | null {
  const at = (id: SiteId) => sites.find((site) => site.id === id)
  const slackAt = (id: SiteId) => seated.find((site) => site.id === id)?.differenceMm ?? 0
  const pair = (tibia: SiteId, femur: SiteId) => {
    const [t, f] = [at(tibia), at(femur)]
    return t && f ? { gap: t.totalMm + f.totalMm, slack: slackAt(tibia) + slackAt(femur) } : null
  }
  const extensionMedial = pair('tibia-medial', 'femur-distal-medial')
  const extensionLateral = pair('tibia-lateral', 'femur-distal-lateral')
  const flexionMedial = pair('tibia-medial', 'femur-posterior-medial')
  const flexionLateral = pair('tibia-lateral', 'femur-posterior-lateral')
  if (!(extensionMedial && extensionLateral && flexionMedial && flexionLateral)) return null
  return {
    extensionMedialMm: extensionMedial.gap,
    extensionLateralMm: extensionLateral.gap,
    flexionMedialMm: flexionMedial.gap,
    flexionLateralMm: flexionLateral.gap,
    slackMm: {
      extensionMedial: extensionMedial.slack,
      extensionLateral: extensionLateral.slack,
      flexionMedial: flexionMedial.slack,
      flexionLateral: flexionLateral.slack,
    },
    kind: 'geometric',
  }
}

/** How the geometric gaps change from one plan to another, mm by the gap's name; null where either has none. */
export function gapChange(before: Gaps | null, after: Gaps | null): Readonly<Record<string, number>> | null {
  if (before === null || after === null) return null
  const keys = ['extensionMedialMm', 'extensionLateralMm', 'flexionMedialMm', 'flexionLateralMm'] as const
  return Object.fromEntries(keys.map((key) => [key, after[key] - before[key]]))
}
